using Dapper;
using NodaTime;

namespace TurfWatch.Store;

/// <summary>Delivery reports that came back: at most one a day counts, the worst of the day.</summary>
public sealed class Bounces
{
    private readonly IDatabase _database;

    internal Bounces(IDatabase database) => _database = database;

    /// <summary>Counts one and gives the sum of the days since <paramref name="since"/>; 0 when there is no such subscriber.</summary>
    public Task<double> CountAsync(
        long subscriberId,
        LocalDate day,
        double weight,
        LocalDate since,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO bounce (subscriber_id, day, weight)
                    SELECT id, @day, @weight FROM subscriber WHERE id = @subscriberId
                    ON CONFLICT (subscriber_id, day) DO UPDATE SET weight = excluded.weight
                    WHERE bounce.weight < excluded.weight
                    """,
                    new
                    {
                        subscriberId,
                        day = Stored.Iso(day),
                        weight,
                    },
                    t
                );
                return t.Connection!.ExecuteScalar<double?>(
                        "SELECT SUM(weight) FROM bounce WHERE subscriber_id = @subscriberId AND day >= @since",
                        new { subscriberId, since = Stored.Iso(since) },
                        t
                    ) ?? 0;
            },
            cancellation
        );
}
