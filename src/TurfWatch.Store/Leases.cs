using Dapper;
using NodaTime;

namespace TurfWatch.Store;

/// <summary>
/// Work that one worker does at a time, by name. Whoever holds a lease renews it by holding it again; when its time is over
/// without that (the worker died), another may hold it. Told by the database's clock.
/// </summary>
public sealed class Leases
{
    private readonly IDatabase _database;

    internal Leases(IDatabase database) => _database = database;

    /// <summary>Takes or renews the lease; false when another holds it.</summary>
    /// <param name="name">Of the work.</param>
    /// <param name="owner">The worker, by a name that no other has.</param>
    /// <param name="duration">How long it holds without being renewed.</param>
    /// <param name="cancellation">Cancels.</param>
    public Task<bool> TryHoldAsync(
        string name,
        string owner,
        Duration duration,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    $"""
                    INSERT INTO lease (name, owner, held_until)
                    VALUES (@name, @owner, {_database.Dialect.LeaseNow} + @span)
                    ON CONFLICT (name) DO UPDATE SET owner = excluded.owner, held_until = excluded.held_until
                    WHERE lease.owner = excluded.owner OR lease.held_until <= {_database.Dialect.LeaseNow}
                    """,
                    new
                    {
                        name,
                        owner,
                        span = Stored.Ms(duration),
                        now = Stored.Ms(_database.Now),
                    },
                    t
                ) == 1,
            cancellation
        );

    /// <summary>Gives the lease back; nothing happens when another holds it.</summary>
    public Task ReleaseAsync(string name, string owner, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    "DELETE FROM lease WHERE name = @name AND owner = @owner",
                    new { name, owner },
                    t
                );
            },
            cancellation
        );
}
