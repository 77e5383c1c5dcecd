using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

public sealed partial class Outbox
{
    private const string CompleteSql = $"""
        UPDATE outbox SET
            state = CASE WHEN @resend AND resends = 0 THEN 'Queued' ELSE @state END,
            settled_at = CASE WHEN @queued OR (@resend AND resends = 0) THEN NULL ELSE @now END,
            resends = CASE WHEN @resend AND resends = 0 THEN 1 ELSE resends END,
            attempts = attempts - @refund,
            next_at = @retryAt, owner = NULL, lease_until = NULL,
            last_reply = CASE WHEN recipient = '' THEN NULL ELSE @reply END -- erased while it was under way
        WHERE id = @id AND fence = @fence AND ({StateOfRow} = 'Sending' OR ({StateOfRow} = 'Claimed' AND @putBack))
        """;

    private readonly string _beginSql;

    /// <summary>
    /// The last check before the SMTP transaction, and the mark that it has begun: subscriber active, inside
    /// the window, lease and fence unbroken. Only <see cref="SendPermit.Granted"/> allows sending.
    /// </summary>
    public async Task<SendPermit> BeginSendingAsync(
        OutboxMessage claimed,
        Duration lease,
        CancellationToken cancellation
    )
    {
        _database.RequireRoom();
        return await _database.TryBeginTogetherAsync(claimed, lease)
            ? SendPermit.Granted
            : await _database.WriteAsync(t => BeginSending(t, claimed, lease), cancellation);
    }

    /// <summary>Writes what became of a message; false when it is no longer the caller's (the fence moved on).</summary>
    public async Task<bool> CompleteAsync(
        OutboxMessage claimed,
        OutboxOutcome outcome,
        CancellationToken cancellation
    ) =>
        (
            outcome.State == OutboxState.Sent
            && await _database.TryEndTogetherAsync(claimed, outcome.Reply)
        ) || await _database.WriteAsync(t => Complete(t, claimed, outcome), cancellation);

    private static string BeginSql(Dialect dialect) =>
        $"""
            UPDATE outbox SET state = 'Sending', lease_until = {dialect.LeaseNow} + @lease
            WHERE id = @id AND fence = @fence AND {StateOfRow} = 'Claimed' AND lease_until > {dialect.LeaseNow}
                AND not_after >= @now
                AND {NotHeld} AND {OutboxPolicy.MayReceive("kind", "subscriber_id")}
            """;

    private SendPermit BeginSending(DbTransaction t, OutboxMessage claimed, Duration lease)
    {
        var dialect = _database.Dialect;
        // Who leaves meanwhile waits until this is committed; who has left is seen by the statements that follow. Where one
        // transaction runs at a time there is nothing to lock.
        if (dialect.ForShare.Length > 0)
        {
            t.Connection!.Execute(
                $"SELECT id FROM subscriber WHERE id = @SubscriberId {dialect.ForShare}",
                new { claimed.SubscriberId },
                t
            );
        }

        var begun = _database.Run(
            t,
            _beginSql,
            ("@id", claimed.Id),
            ("@fence", claimed.Fence),
            ("@now", NowMs),
            ("@lease", Stored.Ms(lease))
        );
        return begun == 1 ? SendPermit.Granted : Refuse(t, claimed);
    }

    /// <summary>Why a message may not be begun, and what becomes of it.</summary>
    private SendPermit Refuse(DbTransaction t, OutboxMessage claimed)
    {
        var c = t.Connection!;
        var row = new
        {
            claimed.Id,
            claimed.Fence,
            now = NowMs,
        };
        // Back as if it had not been claimed: that it was held is no fault of the message's.
        if (
            Held(c, t) is not null
            && c.Execute(
                """
                UPDATE outbox SET state = 'Queued', attempts = attempts - 1, owner = NULL, lease_until = NULL
                WHERE id = @Id AND fence = @Fence AND state = 'Claimed'
                """,
                row,
                t
            ) == 1
        )
        {
            return SendPermit.Held;
        }

        if (
            SettleHeld(
                "Expired",
                "AND not_after < @now",
                "the window closed before it could be sent"
            )
        )
        {
            return SendPermit.Expired;
        }

        var refused = $"AND NOT {OutboxPolicy.MayReceive("kind", "subscriber_id")}";
        if (SettleHeld("Suppressed", refused, "the subscriber left"))
        {
            return SendPermit.Suppressed;
        }

        var state = c.ExecuteScalar<string>("SELECT state FROM outbox WHERE id = @Id", row, t);
        return string.Equals(state, nameof(OutboxState.Suppressed), StringComparison.Ordinal)
            ? SendPermit.Suppressed
            : SendPermit.Lost;

        bool SettleHeld(string to, string condition, string reason) =>
            c.Execute(
                $"""
                UPDATE outbox SET state = '{to}', settled_at = @now, owner = NULL, lease_until = NULL,
                    last_reply = COALESCE(last_reply, '{reason}')
                WHERE id = @Id AND fence = @Fence AND state = 'Claimed' {condition}
                """,
                row,
                t
            ) == 1;
    }

    private bool Complete(DbTransaction t, OutboxMessage claimed, OutboxOutcome outcome)
    {
        var state = outcome.State;
        var retryAt = outcome.RetryAt ?? _database.Now;
        var resend = false;
        if (state == OutboxState.Queued && retryAt > claimed.NotAfter)
        {
            state = OutboxState.Expired;
        }
        else if (state == OutboxState.Unknown && OutboxPolicy.ResendsUnknown(claimed.Kind))
        {
            resend = true;
        }

        // The first unknown end of a kind that is resent goes back into the queue; the second settles it.
        var hit =
            _database.Run(
                t,
                CompleteSql,
                ("@id", claimed.Id),
                ("@fence", claimed.Fence),
                ("@reply", outcome.Reply),
                ("@resend", resend),
                ("@state", state.ToString()),
                ("@queued", state == OutboxState.Queued),
                ("@putBack", outcome.State == OutboxState.Queued),
                ("@refund", outcome.Refunds ? 1L : 0L),
                ("@retryAt", Stored.Ms(retryAt)),
                ("@now", NowMs)
            ) == 1;
        if (hit && outcome.SuppressesSubscriber)
        {
            Subscribers.SetStatus(
                t,
                claimed.SubscriberId,
                SubscriberStatus.Suppressed,
                outcome.Reply,
                _database.Now
            );
        }

        return hit;
    }

    private Task SettleUnreadableAsync(
        OutboxRow row,
        InvalidDataException e,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    UPDATE outbox SET state = 'Dead', settled_at = @now, owner = NULL, lease_until = NULL, last_reply = @reason
                    WHERE id = @Id AND fence = @Fence AND state = 'Claimed'
                    """,
                    new
                    {
                        row.Id,
                        row.Fence,
                        now = NowMs,
                        reason = $"the stored message cannot be unpacked ({e.Message})",
                    },
                    t
                );
            },
            cancellation
        );
}
