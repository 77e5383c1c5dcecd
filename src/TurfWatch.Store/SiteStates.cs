using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A site's state as the physics packed it.</summary>
/// <param name="ValidAt">The instant that it describes.</param>
/// <param name="Body">The packed state; only the physics reads it.</param>
public sealed record StoredSiteState(Instant ValidAt, byte[] Body);

/// <summary>The newest state of soil and canopy, one to a cell and surface class.</summary>
public sealed class SiteStates
{
    private readonly IDatabase _database;

    internal SiteStates(IDatabase database) => _database = database;

    /// <summary>Keeps the state in place of the former one. The cell must be stored.</summary>
    public Task SaveAsync(
        string cellId,
        SurfaceClass surface,
        StoredSiteState state,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO site_state (cell_id, surface_key, valid_at, body)
                    VALUES (@cellId, @Key, @validAt, @Body)
                    ON CONFLICT (cell_id, surface_key) DO UPDATE
                    SET valid_at = excluded.valid_at, body = excluded.body
                    """,
                    new
                    {
                        cellId,
                        surface.Key,
                        validAt = Stored.Ms(state.ValidAt),
                        state.Body,
                    },
                    t
                );
            },
            cancellation
        );

    /// <summary>The kept state, or null when there is none.</summary>
    public Task<StoredSiteState?> LoadAsync(
        string cellId,
        SurfaceClass surface,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
            {
                var (validAt, body) = c.QuerySingleOrDefault<(long, byte[])>(
                    "SELECT valid_at, body FROM site_state WHERE cell_id = @cellId AND surface_key = @Key",
                    new { cellId, surface.Key }
                );
                return body is null ? null : new StoredSiteState(Stored.At(validAt), body);
            },
            cancellation
        );
}
