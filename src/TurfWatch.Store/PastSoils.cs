using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>
/// The soil of past years, one run of the physics to a cell and surface class. A cache: what was made from other
/// years, or by another build of the physics, is not given back.
/// </summary>
public sealed class PastSoils
{
    private readonly IDatabase _database;

    internal PastSoils(IDatabase database) => _database = database;

    /// <summary>Keeps the days in place of the former ones. The cell must be stored.</summary>
    /// <param name="cellId">The cell.</param>
    /// <param name="surface">The surface class.</param>
    /// <param name="yearsAt">When the years were fetched that they were made from.</param>
    /// <param name="physics">Which build of the physics made them.</param>
    /// <param name="days">The days.</param>
    /// <param name="cancellation">Cancels.</param>
    public Task SaveAsync(
        string cellId,
        SurfaceClass surface,
        Instant yearsAt,
        string physics,
        SiteDays days,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO past_soil (cell_id, surface_key, years_at, physics, body)
                    VALUES (@cellId, @Key, @at, @physics, @body)
                    ON CONFLICT (cell_id, surface_key) DO UPDATE
                    SET years_at = excluded.years_at, physics = excluded.physics, body = excluded.body
                    """,
                    new
                    {
                        cellId,
                        surface.Key,
                        at = Stored.Ms(yearsAt),
                        physics,
                        body = days.Pack(),
                    },
                    t
                );
            },
            cancellation
        );

    /// <summary>The kept days; null when there are none of these years and this physics.</summary>
    public Task<SiteDays?> LoadAsync(
        string cellId,
        SurfaceClass surface,
        Instant yearsAt,
        string physics,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
                KeptDays.Read(
                    c.QuerySingleOrDefault<byte[]>(
                        """
                        SELECT body FROM past_soil
                        WHERE cell_id = @cellId AND surface_key = @Key AND years_at = @at AND physics = @physics
                        """,
                        new
                        {
                            cellId,
                            surface.Key,
                            at = Stored.Ms(yearsAt),
                            physics,
                        }
                    )
                ),
            cancellation
        );
}
