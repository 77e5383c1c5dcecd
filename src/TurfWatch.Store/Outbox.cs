using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>
/// Messages that are committed before they are sent. States and promises: docs/reliability.md. Leases are told by the
/// database's clock (<see cref="Dialect.LeaseNow"/>), which all workers share; windows and due times by the program's.
/// </summary>
public sealed partial class Outbox
{
    private readonly IDatabase _database;

    internal Outbox(IDatabase database) => _database = database;

    /// <summary>
    /// Writes the messages in one transaction. One whose (subscriber, kind, key) is there already, or whose
    /// subscriber is not active, is left out. Returns how many rows were made.
    /// </summary>
    public Task<int> EnqueueAsync(
        IReadOnlyCollection<OutboxMessage> messages,
        CancellationToken cancellation
    )
    {
        // Packed before the transaction, which others wait for.
        var rows = messages.Select(m => Row(m, OutboxState.Queued, null)).ToList();
        return _database.WriteAsync(t => Insert(t, rows), cancellation);
    }

    internal int Enqueue(DbTransaction t, IReadOnlyCollection<OutboxMessage> messages) =>
        Insert(t, messages.Select(m => Row(m, OutboxState.Queued, null)));

    /// <summary>
    /// Puts a morning on record whose window closed before a message was made (the service was down, or
    /// there was no weather). False when it has a row already.
    /// </summary>
    public Task<bool> RecordMissedAsync(
        DueMorning morning,
        Instant notAfter,
        string reason,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
                Insert(
                    t,
                    [
                        Row(
                            new OutboxMessage
                            {
                                SubscriberId = morning.Subscriber.Id,
                                Kind = MessageKind.Morning,
                                Key = morning.Key,
                                Recipient = morning.Subscriber.Email,
                                EnvelopeSender = "",
                                MessageId = "",
                                NotBefore = morning.DueAt,
                                NotAfter = notAfter,
                                Content = [],
                            },
                            OutboxState.Expired,
                            reason
                        ),
                    ]
                ) == 1,
            cancellation
        );

    /// <summary>
    /// Takes up to <paramref name="batch"/> due messages under a lease. The attempt counts from here, so that a
    /// message that kills the process is given up in the end. Messages whose lease lapsed before come one at a time,
    /// after all others: one that kills the process then takes no other with it.
    /// </summary>
    /// <exception cref="StoreException">Among others: there is not enough room to save what would become of them.</exception>
    public async Task<IReadOnlyList<OutboxMessage>> ClaimAsync(
        string owner,
        int batch,
        Duration lease,
        CancellationToken cancellation
    )
    {
        var fresh = await ClaimFreshAsync(owner, batch, lease, cancellation);
        return fresh.Count > 0
            ? fresh
            : await ClaimAsync(owner, 1, lease, lost: true, cancellation);
    }

    /// <summary>As <see cref="ClaimAsync(string, int, Duration, CancellationToken)"/>, but none whose lease lapsed before: safe beside messages under way.</summary>
    /// <exception cref="StoreException">Among others: there is not enough room to save what would become of them.</exception>
    public Task<IReadOnlyList<OutboxMessage>> ClaimFreshAsync(
        string owner,
        int batch,
        Duration lease,
        CancellationToken cancellation
    ) => ClaimAsync(owner, batch, lease, lost: false, cancellation);

    private async Task<IReadOnlyList<OutboxMessage>> ClaimAsync(
        string owner,
        int batch,
        Duration lease,
        bool lost,
        CancellationToken cancellation
    )
    {
        _database.RequireRoom();
        var rows = await _database.WriteAsync(
            t => Claim(t, owner, batch, lease, lost),
            cancellation
        );

        // Unpacked after the commit: a row that cannot be unpacked has spent its attempt and harms no other.
        var messages = new List<OutboxMessage>(rows.Count);
        foreach (var row in rows.OrderBy(r => r.NotBefore).ThenBy(r => r.Id))
        {
            try
            {
                messages.Add(row.Noun());
            }
            catch (InvalidDataException e)
            {
                await SettleUnreadableAsync(row, e, cancellation);
            }
        }

        return messages;
    }

    /// <summary>
    /// The last check before the SMTP transaction, and the mark that it has begun: subscriber active, inside
    /// the window, lease and fence unbroken. Only <see cref="SendPermit.Granted"/> allows sending.
    /// </summary>
    public Task<SendPermit> BeginSendingAsync(
        OutboxMessage claimed,
        Duration lease,
        CancellationToken cancellation
    )
    {
        _database.RequireRoom();
        return _database.WriteAsync(t => BeginSending(t, claimed, lease), cancellation);
    }

    /// <summary>Writes what became of a message; false when it is no longer the caller's (the fence moved on).</summary>
    public Task<bool> CompleteAsync(
        OutboxMessage claimed,
        OutboxOutcome outcome,
        CancellationToken cancellation
    ) => _database.WriteAsync(t => Complete(t, claimed, outcome), cancellation);

    // One command for all, so that the statement is prepared once.
    private static int Insert(DbTransaction t, IEnumerable<object> rows) =>
        t.Connection!.Execute(
            $"""
            INSERT INTO outbox (subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before,
                not_after, content, state, next_at, last_reply, created_at, settled_at)
            SELECT @SubscriberId, @kind, @Key, @Recipient, @EnvelopeSender, @MessageId, @notBefore,
                @notAfter, @content, @state, @notBefore, @reason, @now, @settled
            WHERE {OutboxPolicy.MayReceive("@kind", "@SubscriberId")}
            ON CONFLICT (subscriber_id, kind, key) DO NOTHING
            """,
            rows,
            t
        );

    private object Row(OutboxMessage message, OutboxState state, string? reason) =>
        new
        {
            message.SubscriberId,
            kind = message.Kind.ToString(),
            message.Key,
            message.Recipient,
            message.EnvelopeSender,
            message.MessageId,
            notBefore = Stored.Ms(message.NotBefore),
            notAfter = Stored.Ms(message.NotAfter),
            content = OutboxRow.Zip(message.Content),
            state = state.ToString(),
            reason,
            now = NowMs,
            settled = state == OutboxState.Queued ? (long?)null : NowMs,
        };

    private List<OutboxRow> Claim(
        DbTransaction t,
        string owner,
        int batch,
        Duration lease,
        bool lost
    ) =>
        t.Connection!.Query<OutboxRow>(
                $"""
                WITH due AS MATERIALIZED (
                    SELECT id AS due_id FROM outbox
                    WHERE state = 'Queued' AND next_at <= @now AND not_after >= @now AND (lost > 0) = @lost AND {NotHeld}
                    ORDER BY attempts, next_at, id LIMIT @batch {_database.Dialect.SkipLocked})
                UPDATE outbox
                SET state = 'Claimed', owner = @owner, lease_until = {_database.Dialect.LeaseNow} + @lease,
                    fence = fence + 1, attempts = attempts + 1
                WHERE id IN (SELECT due_id FROM due)
                RETURNING {OutboxRow.Columns}
                """,
                new
                {
                    owner,
                    batch,
                    lost,
                    now = NowMs,
                    lease = Stored.Ms(lease),
                },
                t
            )
            .ToList();

    private SendPermit BeginSending(DbTransaction t, OutboxMessage claimed, Duration lease)
    {
        var c = t.Connection!;
        var dialect = _database.Dialect;
        var row = new
        {
            claimed.Id,
            claimed.Fence,
            claimed.SubscriberId,
            now = NowMs,
            lease = Stored.Ms(lease),
        };
        // Who leaves meanwhile waits until this is committed; who has left is seen by the statements that follow. Where one
        // transaction runs at a time there is nothing to lock.
        if (dialect.ForShare.Length > 0)
        {
            c.Execute(
                $"SELECT id FROM subscriber WHERE id = @SubscriberId {dialect.ForShare}",
                row,
                t
            );
        }

        if (
            c.Execute(
                $"""
                UPDATE outbox SET state = 'Sending', lease_until = {dialect.LeaseNow} + @lease
                WHERE id = @Id AND fence = @Fence AND state = 'Claimed' AND lease_until > {dialect.LeaseNow}
                    AND not_after >= @now
                    AND {NotHeld} AND {OutboxPolicy.MayReceive("kind", "subscriber_id")}
                """,
                row,
                t
            ) == 1
        )
        {
            return SendPermit.Granted;
        }

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
            t.Connection!.Execute(
                """
                UPDATE outbox SET
                    state = CASE WHEN @resend AND resends = 0 THEN 'Queued' ELSE @state END,
                    settled_at = CASE WHEN @queued OR (@resend AND resends = 0) THEN NULL ELSE @now END,
                    resends = CASE WHEN @resend AND resends = 0 THEN 1 ELSE resends END,
                    attempts = attempts - @refund,
                    next_at = @retryAt, owner = NULL, lease_until = NULL,
                    last_reply = CASE WHEN recipient = '' THEN NULL ELSE @Reply END -- erased while it was under way
                WHERE id = @Id AND fence = @Fence AND (state = 'Sending' OR (state = 'Claimed' AND @putBack))
                """,
                new
                {
                    claimed.Id,
                    claimed.Fence,
                    outcome.Reply,
                    resend,
                    state = state.ToString(),
                    queued = state == OutboxState.Queued,
                    putBack = outcome.State == OutboxState.Queued,
                    refund = outcome.Refunds ? 1 : 0,
                    retryAt = Stored.Ms(retryAt),
                    now = NowMs,
                },
                t
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

    private long NowMs => Stored.Ms(_database.Now);
}
