using Dapper;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>The days of this year so far, one row to a cell and surface class.</summary>
public sealed class YearDays
{
    private readonly IDatabase _database;

    internal YearDays(IDatabase database) => _database = database;

    /// <summary>Keeps the days in place of the former ones. The cell must be stored.</summary>
    public Task SaveAsync(
        string cellId,
        SurfaceClass surface,
        SiteDays days,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO year_days (cell_id, surface_key, body) VALUES (@cellId, @Key, @body)
                    ON CONFLICT (cell_id, surface_key) DO UPDATE SET body = excluded.body
                    """,
                    new
                    {
                        cellId,
                        surface.Key,
                        body = days.Pack(),
                    },
                    t
                );
            },
            cancellation
        );

    /// <summary>The kept days; null when there are none that this version can read.</summary>
    public Task<SiteDays?> LoadAsync(
        string cellId,
        SurfaceClass surface,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
                KeptDays.Read(
                    c.QuerySingleOrDefault<byte[]>(
                        "SELECT body FROM year_days WHERE cell_id = @cellId AND surface_key = @Key",
                        new { cellId, surface.Key }
                    )
                ),
            cancellation
        );
}
