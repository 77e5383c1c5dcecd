using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A climate and when it was kept.</summary>
public sealed record StoredClimate(Instant FetchedAt, PlaceClimate Climate);

/// <summary>The years that a climate was made from, and when they were kept.</summary>
public sealed record StoredYears(Instant FetchedAt, PastYears Years);

/// <summary>The past years of each cell, and what is usual in them.</summary>
public sealed class Climates
{
    private readonly IDatabase _database;

    internal Climates(IDatabase database) => _database = database;

    /// <summary>Keeps climate and years in place of the former ones. The cell must be stored.</summary>
    public Task SaveAsync(
        string cellId,
        PlaceClimate climate,
        PastYears years,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO cell_climate (cell_id, fetched_at, body, days) VALUES (@cellId, @now, @body, @days)
                    ON CONFLICT (cell_id) DO UPDATE
                    SET fetched_at = excluded.fetched_at, body = excluded.body, days = excluded.days
                    """,
                    new
                    {
                        cellId,
                        now = Stored.Ms(_database.Now),
                        body = climate.Pack(),
                        days = years.Pack(),
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
                        : new StoredClimate(Stored.At(fetchedAt), PlaceClimate.Unpack(body));
                }
                catch (FormatException)
                {
                    return null;
                }
            },
            cancellation
        );

    /// <summary>The kept years; null when there are none, or only some that this version cannot read.</summary>
    public Task<StoredYears?> LoadYearsAsync(string cellId, CancellationToken cancellation) =>
        _database.ReadAsync(
            c =>
            {
                var (fetchedAt, days) = c.QuerySingleOrDefault<(long, byte[])>(
                    "SELECT fetched_at, days FROM cell_climate WHERE cell_id = @cellId",
                    new { cellId }
                );
                try
                {
                    return days is null
                        ? null
                        : new StoredYears(Stored.At(fetchedAt), PastYears.Unpack(days));
                }
                catch (FormatException)
                {
                    return null;
                }
            },
            cancellation
        );

    /// <summary>Cells with a lawn of an active subscriber whose climate or years are not kept, or was kept before <paramref name="before"/>.</summary>
    public Task<IReadOnlyList<WeatherCell>> DueAsync(
        Instant before,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync<IReadOnlyList<WeatherCell>>(
            c =>
                c.Query<string>(
                        """
                        SELECT c.profile FROM cell AS c LEFT JOIN cell_climate AS k ON k.cell_id = c.id
                        WHERE (k.days IS NULL OR k.fetched_at < @before) AND EXISTS (
                            SELECT 1 FROM zip_cell AS z
                                JOIN lawn AS l ON l.zip = z.zip
                                JOIN subscriber AS s ON s.id = l.subscriber_id
                            WHERE z.cell_id = c.id AND s.status = 'Active')
                        ORDER BY c.id
                        """,
                        new { before = Stored.Ms(before) }
                    )
                    .Select(NounJson.Read<WeatherCell>)
                    .ToList(),
            cancellation
        );
}
