using Dapper;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>Weather cells, and which ZIP code lies in which.</summary>
public sealed class Cells
{
    private readonly IDatabase _database;

    internal Cells(IDatabase database) => _database = database;

    /// <summary>Writes the cell as last resolved and maps the ZIP code to it (also when it lay in another before).</summary>
    public Task SaveAsync(WeatherCell cell, string zip, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO cell (id, profile) VALUES (@Id, @profile)
                    ON CONFLICT (id) DO UPDATE SET profile = excluded.profile
                    """,
                    new { cell.Id, profile = NounJson.Write(cell) },
                    t
                );
                t.Connection!.Execute(
                    """
                    INSERT INTO zip_cell (zip, cell_id) VALUES (@zip, @Id)
                    ON CONFLICT (zip) DO UPDATE SET cell_id = excluded.cell_id
                    """,
                    new { zip, cell.Id },
                    t
                );
            },
            cancellation
        );

    /// <summary>The cell of a ZIP code, or null when it was not resolved yet.</summary>
    public Task<WeatherCell?> FindByZipAsync(string zip, CancellationToken cancellation) =>
        _database.ReadAsync(
            c =>
                c.QuerySingleOrDefault<string>(
                    "SELECT c.profile FROM zip_cell AS z JOIN cell AS c ON c.id = z.cell_id WHERE z.zip = @zip",
                    new { zip }
                )
                    is { } profile
                    ? NounJson.Read<WeatherCell>(profile)
                    : null,
            cancellation
        );

    /// <summary>The same for each of some ZIP codes.</summary>
    public async Task<IReadOnlyDictionary<string, WeatherCell?>> FindByZipsAsync(
        IEnumerable<string> zips,
        CancellationToken cancellation
    )
    {
        var cells = new Dictionary<string, WeatherCell?>(StringComparer.Ordinal);
        foreach (var zip in zips.Distinct(StringComparer.Ordinal))
        {
            cells[zip] = await FindByZipAsync(zip, cancellation);
        }

        return cells;
    }

    /// <summary>Cells in which a lawn of an active subscriber lies: those whose weather must be fetched.</summary>
    public Task<IReadOnlyList<WeatherCell>> InUseAsync(CancellationToken cancellation) =>
        _database.ReadAsync<IReadOnlyList<WeatherCell>>(
            c =>
                c.Query<string>(
                        """
                        SELECT c.profile FROM cell AS c
                        WHERE EXISTS (
                            SELECT 1 FROM zip_cell AS z
                                JOIN lawn AS l ON l.zip = z.zip
                                JOIN subscriber AS s ON s.id = l.subscriber_id
                            WHERE z.cell_id = c.id AND s.status = 'Active')
                        ORDER BY c.id
                        """
                    )
                    .Select(NounJson.Read<WeatherCell>)
                    .ToList(),
            cancellation
        );

    /// <summary>Places with a lawn of an active subscriber whose ZIP code has no cell yet; one to a ZIP code.</summary>
    public Task<IReadOnlyList<Place>> PlacesWithoutCellAsync(CancellationToken cancellation) =>
        _database.ReadAsync<IReadOnlyList<Place>>(
            c =>
                // As they come: a large list just carried over would be all lawns.
                c.Query<string>(
                        """
                        SELECT l.profile FROM lawn AS l JOIN subscriber AS s ON s.id = l.subscriber_id
                        WHERE s.status = 'Active' AND NOT EXISTS (SELECT 1 FROM zip_cell AS z WHERE z.zip = l.zip)
                        ORDER BY l.zip
                        """,
                        buffered: false
                    )
                    .Select(profile => NounJson.TryRead<Lawn>(profile, out _)?.Place)
                    .OfType<Place>()
                    .DistinctBy(place => place.Zip, StringComparer.Ordinal)
                    .ToList(),
            cancellation
        );

    /// <summary>The lawns of active subscribers in a cell; they tell which surface classes to compute.</summary>
    public Task<IReadOnlyList<Lawn>> LawnsAsync(string cellId, CancellationToken cancellation) =>
        _database.ReadAsync<IReadOnlyList<Lawn>>(
            c =>
                c.Query<(long Id, string Profile)>(
                        """
                        SELECT l.id, l.profile FROM zip_cell AS z
                            JOIN lawn AS l ON l.zip = z.zip
                            JOIN subscriber AS s ON s.id = l.subscriber_id
                        WHERE z.cell_id = @cellId AND s.status = 'Active'
                        ORDER BY l.id
                        """,
                        new { cellId }
                    )
                    .Select(r => Lawns.TryRead(r.Id, r.Profile, out _))
                    .OfType<Lawn>()
                    .ToList(),
            cancellation
        );
}
