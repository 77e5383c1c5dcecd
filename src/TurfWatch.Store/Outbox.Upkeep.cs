using System.Data.Common;
using System.Runtime.CompilerServices;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

public sealed partial class Outbox
{
    private const int PageSize = 200;

    /// <summary>
    /// Puts right what workers left behind: lapsed leases (claimed → queued, sending → unknown), closed
    /// windows, messages claimed <paramref name="maxClaims"/> times without an end, subscribers that left.
    /// </summary>
    /// <param name="maxClaims">How many claims without an end a message has.</param>
    /// <param name="underWay">
    /// Rows that the caller is sending at this moment: it will write their ends itself, however long the machine slept
    /// meanwhile.
    /// </param>
    /// <param name="cancellation">Cancels.</param>
    public Task<OutboxSweep> SweepAsync(
        int maxClaims,
        IReadOnlyCollection<long> underWay,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t => Sweep(t, maxClaims, $"lease_until <= {_database.Dialect.LeaseNow}", underWay),
            cancellation
        );

    /// <summary>How many rows are in each state; states without rows count 0.</summary>
    public Task<IReadOnlyDictionary<OutboxState, int>> CountAsync(CancellationToken cancellation) =>
        _database.ReadAsync<IReadOnlyDictionary<OutboxState, int>>(
            c =>
            {
                var counts = Enum.GetValues<OutboxState>().ToDictionary(s => s, _ => 0);
                foreach (
                    var (state, count) in c.Query<(string, long)>(
                        "SELECT state, COUNT(*) FROM outbox GROUP BY state"
                    )
                )
                {
                    counts[Enum.Parse<OutboxState>(state)] = (int)count;
                }

                return counts;
            },
            cancellation
        );

    /// <summary>Since when the oldest message has been due that is not settled; null when none is.</summary>
    public Task<Instant?> OldestDueAsync(CancellationToken cancellation) =>
        _database.ReadAsync<Instant?>(
            c =>
                c.ExecuteScalar<long?>(
                    """
                    SELECT MIN(not_before) FROM outbox
                    WHERE state IN ('Queued', 'Claimed', 'Sending') AND not_before <= @now
                    """,
                    new { now = NowMs }
                )
                    is { } ms
                    ? Stored.At(ms)
                    : null,
            cancellation
        );

    /// <summary>How many rows of a kind were made for a subscriber since an instant.</summary>
    public Task<int> CountSinceAsync(
        long subscriberId,
        MessageKind kind,
        Instant since,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
                (int)
                    c.ExecuteScalar<long>(
                        """
                        SELECT COUNT(*) FROM outbox
                        WHERE subscriber_id = @subscriberId AND kind = @kind AND created_at > @since
                        """,
                        new
                        {
                            subscriberId,
                            kind = kind.ToString(),
                            since = Stored.Ms(since),
                        }
                    ),
            cancellation
        );

    /// <summary>The message of a key, or null.</summary>
    public Task<OutboxMessage?> FindAsync(
        long subscriberId,
        MessageKind kind,
        string key,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
                c.QuerySingleOrDefault<OutboxRow>(
                        $"""
                        SELECT {OutboxRow.Columns} FROM outbox
                        WHERE subscriber_id = @subscriberId AND kind = @kind AND key = @key
                        """,
                        new
                        {
                            subscriberId,
                            kind = kind.ToString(),
                            key,
                        }
                    )
                    ?.Noun(),
            cancellation
        );

    /// <summary>Rows, oldest first, without content; read page by page.</summary>
    /// <param name="cancellation">Cancels.</param>
    /// <param name="states">The states of interest; none means all.</param>
    public async IAsyncEnumerable<OutboxMessage> ListAsync(
        [EnumeratorCancellation] CancellationToken cancellation,
        params OutboxState[] states
    )
    {
        var only = states.Select(s => $"'{s}'").DefaultIfEmpty("state");
        var columns = OutboxRow.Columns.Replace("content AS", "NULL AS", StringComparison.Ordinal);
        var after = 0L;
        while (true)
        {
            var page = await _database.ReadAsync(
                c =>
                    c.Query<OutboxRow>(
                            $"SELECT {columns} FROM outbox WHERE id > @after AND state IN ({string.Join(", ", only)}) ORDER BY id LIMIT @PageSize",
                            new { after, PageSize }
                        )
                        .ToList(),
                cancellation
            );
            foreach (var row in page)
            {
                yield return row.Noun();
            }

            if (page.Count < PageSize)
            {
                yield break;
            }

            after = page[^1].Id;
        }
    }

    /// <summary>
    /// Drops content and address of rows that were settled before <paramref name="settledBefore"/>; the key stays,
    /// so that nothing is ever sent twice. Returns how many.
    /// </summary>
    public Task<int> PruneAsync(Instant settledBefore, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    """
                    UPDATE outbox SET content = NULL, recipient = ''
                    WHERE content IS NOT NULL AND settled_at < @before
                    """,
                    new { before = Stored.Ms(settledBefore) },
                    t
                ),
            cancellation
        );

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
        var c = t.Connection!;
        var arguments = new
        {
            now = NowMs,
            maxClaims,
            underWay = $",{string.Join(',', underWay)},",
        };
        // A list that both databases can read.
        const string NotUnderWay = "@underWay NOT LIKE '%,' || id || ',%'";
        var resent = Execute(
            $"""
            UPDATE outbox SET state = 'Queued', resends = 1, next_at = @now, owner = NULL, lease_until = NULL,
                last_reply = 'the sender stopped during the transaction; sent once more with the same Message-ID'
            WHERE state = 'Sending' AND {lapsed} AND {NotUnderWay} AND resends = 0 AND kind IN ({OutboxPolicy.ResentKinds})
            """
        );
        var unknown = Execute(
            $"""
            UPDATE outbox SET state = 'Unknown', settled_at = @now, owner = NULL, lease_until = NULL,
                last_reply = 'the sender stopped during the transaction; the relay may or may not have taken it'
            WHERE state = 'Sending' AND {lapsed} AND {NotUnderWay}
            """
        );
        var requeued = Execute(
            $"""
            UPDATE outbox SET state = 'Queued', lost = lost + 1, owner = NULL, lease_until = NULL
            WHERE state = 'Claimed' AND {lapsed}
            """
        );
        var expired = Execute(
            """
            UPDATE outbox SET state = 'Expired', settled_at = @now,
                last_reply = COALESCE(last_reply, 'the window closed before it could be sent')
            WHERE state = 'Queued' AND not_after < @now
            """
        );
        var dead = Execute(
            """
            UPDATE outbox SET state = 'Dead', settled_at = @now,
                last_reply = 'given up after ' || attempts || ' claims; last: ' || COALESCE(last_reply, 'no answer')
            WHERE state = 'Queued' AND attempts >= @maxClaims
            """
        );
        var suppressed = Execute(
            $"""
            UPDATE outbox SET state = 'Suppressed', settled_at = @now, last_reply = COALESCE(last_reply, 'the subscriber left')
            WHERE state = 'Queued' AND NOT {OutboxPolicy.MayReceive("kind", "subscriber_id")}
            """
        );
        return new(requeued, unknown, resent, expired, dead, suppressed);

        int Execute(string sql) => c.Execute(sql, arguments, t);
    }
}
