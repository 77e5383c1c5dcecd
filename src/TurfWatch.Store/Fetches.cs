using Dapper;
using NodaTime;

namespace TurfWatch.Store;

/// <summary>How a fetch stands.</summary>
/// <param name="FetchedAt">The last success; null when there was none.</param>
/// <param name="BegunAt">When a fetch began that has not ended; null when none is under way.</param>
public sealed record FetchStanding(Instant? FetchedAt, Instant? BegunAt);

/// <summary>
/// When each weather cell is to be asked for again: shared by all workers and kept over restarts, so that a cell is
/// fetched once a period however many they are.
/// </summary>
public sealed class Fetches
{
    private readonly IDatabase _database;

    internal Fetches(IDatabase database) => _database = database;

    /// <summary>The keys that are not due yet.</summary>
    public Task<IReadOnlySet<string>> PutOffAsync(Instant now, CancellationToken cancellation) =>
        _database.ReadAsync<IReadOnlySet<string>>(
            c =>
                c.Query<string>(
                        "SELECT key FROM fetch_due WHERE next_at > @now",
                        new { now = Stored.Ms(now) }
                    )
                    .ToHashSet(StringComparer.Ordinal),
            cancellation
        );

    /// <summary>Whether the caller is to fetch it now; then it is put off until <paramref name="until"/> for all others.</summary>
    public Task<bool> TryBeginAsync(
        string key,
        Instant now,
        Instant until,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    """
                    INSERT INTO fetch_due (key, next_at, wanted_at, begun_at) VALUES (@key, @until, @now, @now)
                    ON CONFLICT (key) DO UPDATE SET next_at = excluded.next_at, begun_at = excluded.begun_at
                    WHERE fetch_due.next_at <= @now
                    """,
                    new
                    {
                        key,
                        now = Stored.Ms(now),
                        until = Stored.Ms(until),
                    },
                    t
                ) == 1,
            cancellation
        );

    /// <summary>A fetch ended; it is due again at <paramref name="next"/>.</summary>
    /// <param name="fetchedAt">When it began, if it succeeded.</param>
    public Task EndAsync(
        string key,
        Instant next,
        Instant? fetchedAt,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO fetch_due (key, next_at, wanted_at, fetched_at) VALUES (@key, @next, @now, @fetched)
                    ON CONFLICT (key) DO UPDATE SET next_at = excluded.next_at, begun_at = NULL,
                        fetched_at = COALESCE(excluded.fetched_at, fetch_due.fetched_at)
                    """,
                    new
                    {
                        key,
                        next = Stored.Ms(next),
                        now = Stored.Ms(_database.Now),
                        fetched = fetchedAt is { } at ? Stored.Ms(at) : (long?)null,
                    },
                    t
                );
            },
            cancellation
        );

    public Task<FetchStanding> OfAsync(string key, CancellationToken cancellation) =>
        _database.ReadAsync(
            c =>
            {
                var (fetched, begun) = c.QuerySingleOrDefault<(long?, long?)>(
                    "SELECT fetched_at, begun_at FROM fetch_due WHERE key = @key",
                    new { key }
                );
                return new FetchStanding(
                    fetched is { } f ? Stored.At(f) : null,
                    begun is { } b ? Stored.At(b) : null
                );
            },
            cancellation
        );

    /// <summary>
    /// Since when the cell in use that was longest without new weather has had none: its last success, or when it was first
    /// wanted in vain. Null when no cell in use was asked for yet.
    /// </summary>
    public Task<Instant?> OldestDataAsync(CancellationToken cancellation) =>
        _database.ReadAsync<Instant?>(
            c =>
                c.ExecuteScalar<long?>(
                    """
                    SELECT MIN(COALESCE(f.fetched_at, f.wanted_at)) FROM fetch_due AS f
                    WHERE EXISTS (
                        SELECT 1 FROM zip_cell AS z
                            JOIN lawn AS l ON l.zip = z.zip
                            JOIN subscriber AS s ON s.id = l.subscriber_id
                        WHERE z.cell_id = f.key AND s.status = 'Active')
                    """
                )
                    is { } ms
                    ? Stored.At(ms)
                    : null,
            cancellation
        );

    /// <summary>Forgets what has not been due since <paramref name="before"/>: cells and ZIP codes that nobody asks for any more.</summary>
    public Task<int> PruneAsync(Instant before, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    "DELETE FROM fetch_due WHERE next_at < @before",
                    new { before = Stored.Ms(before) },
                    t
                ),
            cancellation
        );
}
