using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

public sealed partial class Outbox
{
    private const int PageSize = 200;

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
                    $"SELECT MIN(not_before) FROM outbox WHERE {Open} AND not_before <= @now",
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
    public IAsyncEnumerable<OutboxMessage> ListAsync(
        CancellationToken cancellation,
        params OutboxState[] states
    ) => SearchAsync(new(states), cancellation);

    /// <summary>
    /// Drops content and address of rows that were settled before <paramref name="settledBefore"/>; the key stays,
    /// so that nothing is ever sent twice. Returns how many.
    /// </summary>
    public Task<int> PruneAsync(Instant settledBefore, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                const string Settled = "recipient <> '' AND settled_at < @before";
                var arguments = new { before = Stored.Ms(settledBefore) };
                t.Connection!.Execute(
                    $"DELETE FROM outbox_content WHERE outbox_id IN (SELECT id FROM outbox WHERE {Settled})",
                    arguments,
                    t
                );
                return t.Connection!.Execute(
                    $"UPDATE outbox SET recipient = '' WHERE {Settled}",
                    arguments,
                    t
                );
            },
            cancellation
        );
}
