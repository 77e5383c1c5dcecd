using Dapper;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store;

/// <summary>A climate and when it was kept.</summary>
public sealed record StoredClimate(Instant FetchedAt, PlaceClimate Climate);

/// <summary>The climate of each cell.</summary>
public sealed class Climates
{
    private readonly SqliteDatabase _database;

    internal Climates(SqliteDatabase database) => _database = database;

    /// <summary>Keeps the climate in place of the former one. The cell must be stored.</summary>
    public Task SaveAsync(string cellId, PlaceClimate climate, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO cell_climate (cell_id, fetched_at, body) VALUES (@cellId, @now, @body)
                    ON CONFLICT (cell_id) DO UPDATE SET fetched_at = excluded.fetched_at, body = excluded.body
                    """,
                    new
                    {
                        cellId,
                        now = SqliteDatabase.Ms(_database.Now),
                        body = climate.Pack(),
                    },
                    t
                );
            },
            cancellation
        );

    /// <summary>The kept climate; null when there is none, or only one that this version cannot read.</summary>
    public Task<StoredClimate?> LoadAsync(string cellId, CancellationToken cancellation) =>
        _database.ReadAsync(
            c =>
            {
                var (fetchedAt, body) = c.QuerySingleOrDefault<(long, byte[])>(
                    "SELECT fetched_at, body FROM cell_climate WHERE cell_id = @cellId",
                    new { cellId }
                );
                try
                {
                    return body is null
                        ? null
                        : new StoredClimate(
                            SqliteDatabase.At(fetchedAt),
                            PlaceClimate.Unpack(body)
                        );
                }
                catch (FormatException)
                {
                    return null;
                }
            },
            cancellation
        );

    /// <summary>Cells with a lawn of an active subscriber whose climate is not kept, or was kept before <paramref name="before"/>.</summary>
    public Task<IReadOnlyList<WeatherCell>> DueAsync(
        Instant before,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync<IReadOnlyList<WeatherCell>>(
            c =>
                c.Query<string>(
                        """
                        SELECT c.profile FROM cell AS c LEFT JOIN cell_climate AS k ON k.cell_id = c.id
                        WHERE (k.fetched_at IS NULL OR k.fetched_at < @before) AND EXISTS (
                            SELECT 1 FROM zip_cell AS z
                                JOIN lawn AS l ON l.zip = z.zip
                                JOIN subscriber AS s ON s.id = l.subscriber_id
                            WHERE z.cell_id = c.id AND s.status = 'Active')
                        ORDER BY c.id
                        """,
                        new { before = SqliteDatabase.Ms(before) }
                    )
                    .Select(NounJson.Read<WeatherCell>)
                    .ToList(),
            cancellation
        );
}
