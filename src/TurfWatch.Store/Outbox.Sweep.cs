using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

public sealed partial class Outbox
{
    private const string WindowClosed = "state = 'Queued' AND not_after < @now";

    private const string ClaimedTooOften = "state = 'Queued' AND attempts >= @maxClaims";

    // A list that both databases can read.
    private const string NotUnderWay = "@underWay NOT LIKE '%,' || id || ',%'";

    private static readonly string MayNotReceive =
        $"state = 'Queued' AND NOT {OutboxPolicy.MayReceive("kind", "subscriber_id")}";

    private static string LeaseLapsed(Dialect dialect) => $"lease_until <= {dialect.LeaseNow}";

    /// <summary>
    /// Puts right what workers left behind: lapsed leases (claimed → queued, sending → unknown), closed
    /// windows, messages claimed <paramref name="maxClaims"/> times without an end, subscribers that left while their message
    /// was tried. Where there is nothing of the kind it reads, and writes nothing.
    /// </summary>
    /// <param name="maxClaims">How many claims without an end a message has.</param>
    /// <param name="underWay">
    /// Rows that the caller is sending at this moment: it will write their ends itself, however long the machine slept
    /// meanwhile.
    /// </param>
    /// <param name="cancellation">Cancels.</param>
    public async Task<OutboxSweep> SweepAsync(
        int maxClaims,
        IReadOnlyCollection<long> underWay,
        CancellationToken cancellation
    ) =>
        await IsAnythingWrongAsync(maxClaims, underWay, cancellation)
            ? await _database.WriteAsync(
                t => Sweep(t, maxClaims, LeaseLapsed(_database.Dialect), underWay),
                cancellation
            )
            : OutboxSweep.None;

    /// <summary>At the start of the only process: every lease is a dead process's, whatever it says.</summary>
    internal Task RecoverAsync(CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                Sweep(t, int.MaxValue, "TRUE", []);
                t.Connection!.Execute("DELETE FROM lease", transaction: t);
            },
            cancellation
        );

    /// <summary>
    /// Whether there is anything to put right. All of it is read from the index of what is not settled. Whoever leaves takes what waits along, so of the subscribers only
    /// those are looked at whose message was tried before: it may have been under way as they left. The last check
    /// before the sending looks at each.
    /// </summary>
    internal static string WrongSql(Dialect dialect) =>
        $"""
            SELECT EXISTS (SELECT 1 FROM outbox WHERE state = 'Sending' AND {LeaseLapsed(
                dialect
            )} AND {NotUnderWay})
                OR EXISTS (SELECT 1 FROM outbox WHERE state = 'Claimed' AND {LeaseLapsed(dialect)})
                OR EXISTS (SELECT 1 FROM outbox WHERE {ClaimedTooOften})
                OR EXISTS (SELECT 1 FROM outbox WHERE {WindowClosed})
                OR EXISTS (SELECT 1 FROM outbox WHERE attempts > 0 AND {MayNotReceive})
            """;

    private Task<bool> IsAnythingWrongAsync(
        int maxClaims,
        IReadOnlyCollection<long> underWay,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c => c.ExecuteScalar<bool>(WrongSql(_database.Dialect), Arguments(maxClaims, underWay)),
            cancellation
        );

    private OutboxSweep Sweep(
        DbTransaction t,
        int maxClaims,
        string lapsed,
        IReadOnlyCollection<long> underWay
    )
    {
        var c = t.Connection!;
        // What one worker puts right no other need put right at the same moment, and rows locked in two orders would block each other.
        if (!c.ExecuteScalar<bool>(_database.Dialect.TakeSweep, transaction: t))
        {
            return OutboxSweep.None;
        }

        if (Held(c, t) is { IsRestored: true })
        {
            // What became of these rows elsewhere is not known: the release settles them.
            return OutboxSweep.None;
        }

        return PutRight(t, maxClaims, lapsed, underWay);
    }

    private OutboxSweep PutRight(
        DbTransaction t,
        int maxClaims,
        string lapsed,
        IReadOnlyCollection<long> underWay
    )
    {
        var arguments = Arguments(maxClaims, underWay);
        var resent = Update(
            """
            state = 'Queued', resends = 1, next_at = @now, owner = NULL, lease_until = NULL,
                last_reply = 'the sender stopped during the transaction; sent once more with the same Message-ID'
            """,
            $"state = 'Sending' AND {lapsed} AND {NotUnderWay} AND resends = 0 AND kind IN ({OutboxPolicy.ResentKinds})"
        );
        var unknown = Update(
            """
            state = 'Unknown', settled_at = @now, owner = NULL, lease_until = NULL,
                last_reply = 'the sender stopped during the transaction; the relay may or may not have taken it'
            """,
            $"state = 'Sending' AND {lapsed} AND {NotUnderWay}"
        );
        var requeued = Update(
            "state = 'Queued', lost = lost + 1, owner = NULL, lease_until = NULL",
            $"state = 'Claimed' AND {lapsed}"
        );
        var expired = Update(
            """
            state = 'Expired', settled_at = @now,
                last_reply = COALESCE(last_reply, 'the window closed before it could be sent')
            """,
            WindowClosed
        );
        var dead = Update(
            """
            state = 'Dead', settled_at = @now,
                last_reply = 'given up after ' || attempts || ' claims; last: ' || COALESCE(last_reply, 'no answer')
            """,
            ClaimedTooOften
        );
        var suppressed = Update(
            "state = 'Suppressed', settled_at = @now, last_reply = COALESCE(last_reply, 'the subscriber left')",
            MayNotReceive
        );
        return new(requeued, unknown, resent, expired, dead, suppressed);

        // A row that another transaction holds is being worked on; to wait for it while holding others could block both.
        int Update(string set, string condition) =>
            t.Connection!.Execute(
                $"""
                UPDATE outbox SET {set}
                WHERE id IN (SELECT id FROM outbox WHERE {condition} {_database.Dialect.SkipLocked})
                """,
                arguments,
                t
            );
    }

    private object Arguments(int maxClaims, IReadOnlyCollection<long> underWay) =>
        new
        {
            now = NowMs,
            maxClaims,
            underWay = $",{string.Join(',', underWay)},",
        };
}
