using System.Globalization;
using Microsoft.Extensions.Logging;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>Finds the grid cell and the stations that serve a place.</summary>
internal sealed partial class NwsCells(
    INwsApi api,
    NwsOptions options,
    WeatherReader reader,
    TimeProvider time,
    ILogger<NwsSource> logger
)
{
    private const int StationsAsked = 12;
    private const int StationsKept = 3;

    /// <summary>No office's grid has so many columns or rows.</summary>
    private const int MostCells = 10_000;
    private const double FarthestStationKm = 60;

    /// <summary>A cell whose outline is farther from the place than this is not the place's cell.</summary>
    private const double FarthestCellKm = 6;

    private readonly NwsCacheRules _rules = new(options);

    /// <summary>Steps for a place whose own cell is water, nearest first [degrees north, east].</summary>
    private static readonly (double North, double East)[] Nudges =
    [
        .. new[] { 0.03, 0.07 }.SelectMany(r =>
            new[] { (r, 0.0), (-r, 0.0), (0.0, r), (0.0, -r), (r, r), (r, -r), (-r, r), (-r, -r) }
        ),
    ];

    /// <summary>At most four decimals, no trailing zeros, or the service redirects.</summary>
    public static string Coordinate(double degrees) =>
        (Math.Round(degrees, 4) + 0.0).ToString("0.####", CultureInfo.InvariantCulture);

    public async Task<WeatherCell> ResolveAsync(Place place, bool askAgain, CancellationToken ct)
    {
        var cell = await TryAsync(place.LatitudeDeg, place.LongitudeDeg, askAgain, ct);
        if (cell is { Found: null, IsWater: true })
        {
            foreach (var (north, east) in Nudges)
            {
                var (lat, lon) = (place.LatitudeDeg + north, place.LongitudeDeg + east);
                cell = await TryAsync(lat, lon, askAgain, ct);
                if (cell.Found is not null)
                {
                    LogNudged(place.Zip, cell.Found.Id);
                    break;
                }
            }
        }

        return cell.Found is null
            ? PlaceCell.At(place, Now())
            : await WithStationsAsync(cell.Found, ct);
    }

    private async Task<(WeatherCell? Found, bool IsWater)> TryAsync(
        double lat,
        double lon,
        bool askAgain,
        CancellationToken ct
    )
    {
        var rule = _rules.Place with { AskAgain = askAgain };
        PointProperties? point;
        try
        {
            point = (
                await reader.ReadAsync(
                    () => api.PointAsync(Coordinate(lat), Coordinate(lon), rule, ct),
                    NwsJson.Default.PointAnswer,
                    ct
                )
            )
                .Body
                .Properties;
        }
        catch (WeatherSourceException e) when (e.Fault == WeatherFault.NoCoverage)
        {
            LogUncovered(e.Message);
            return (null, e.Message.Contains("Marine", StringComparison.Ordinal));
        }

        if (point is { Type: "marine" })
        {
            return (null, true);
        }

        if (
            point
                is not {
                    GridId: { } office,
                    GridX: { } x and >= 0 and < MostCells,
                    GridY: { } y and >= 0 and < MostCells
                }
            || !ForeignText.IsName(office)
        )
        {
            return (null, false);
        }

        return await ConfirmAsync(office, x, y, lat, lon, askAgain, ct);
    }

    /// <summary>Asks for the cell itself: it must exist, be on land, and lie around the place.</summary>
    private async Task<(WeatherCell? Found, bool IsWater)> ConfirmAsync(
        string office,
        int x,
        int y,
        double lat,
        double lon,
        bool askedAgain,
        CancellationToken ct
    )
    {
        var cell = new WeatherCell
        {
            Id = $"nws:{office}/{x},{y}",
            LatitudeDeg = lat,
            LongitudeDeg = lon,
            GridId = office,
            GridX = x,
            GridY = y,
            ResolvedAt = Now(),
        };
        GridpointAnswer grid;
        try
        {
            grid = (
                await reader.ReadAsync(
                    () => api.GridpointAsync(office, x, y, _rules.Forecast, ct),
                    NwsJson.Default.GridpointAnswer,
                    ct
                )
            ).Body;
        }
        catch (WeatherSourceException e) when (e.Fault == WeatherFault.NoCoverage)
        {
            // The kept mapping may have drifted: ask once more, then take the cell for water.
            LogUncovered(e.Message);
            return askedAgain ? (null, true) : await TryAsync(lat, lon, askAgain: true, ct);
        }
        catch (WeatherSourceException e)
        {
            // The mapping is good; that the grid cannot be had just now is the forecast's trouble.
            LogUnconfirmed(cell.Id, e.Message);
            return (cell, false);
        }

        if (GeoShape.Ring(grid.Geometry) is { } ring && !GeoShape.Contains(ring, lat, lon))
        {
            var (centreLon, centreLat) = GeoShape.Centre(ring);
            var away = GeoShape.DistanceKm(lat, lon, centreLat, centreLon);
            if (!askedAgain)
            {
                return await TryAsync(lat, lon, askAgain: true, ct);
            }

            if (away > FarthestCellKm)
            {
                throw reader.Fault(
                    WeatherFault.BadAnswer,
                    $"{cell.Id} was named for {Coordinate(lat)},{Coordinate(lon)} but lies {away:F0} km away"
                );
            }
        }

        return (Centred(cell, grid), false);
    }

    private static WeatherCell Centred(WeatherCell cell, GridpointAnswer grid)
    {
        if (GeoShape.Ring(grid.Geometry) is { } ring)
        {
            var (lon, lat) = GeoShape.Centre(ring);
            cell = cell with { LatitudeDeg = lat, LongitudeDeg = lon };
        }

        return grid.Properties is { } properties
            ? cell with
            {
                ElevationM = GridForecast.Elevation(properties),
            }
            : cell;
    }

    private async Task<WeatherCell> WithStationsAsync(WeatherCell cell, CancellationToken ct)
    {
        try
        {
            var stations = await reader.ReadAsync(
                () =>
                    api.StationsAsync(
                        cell.GridId!,
                        cell.GridX!.Value,
                        cell.GridY!.Value,
                        StationsAsked,
                        _rules.Place,
                        ct
                    ),
                NwsJson.Default.StationsAnswer,
                ct
            );
            return cell with { StationIds = Suitable(cell, stations.Body) };
        }
        catch (WeatherSourceException e)
        {
            // Without stations the forecast still serves; look again tomorrow rather than in a week.
            LogUnconfirmed(cell.Id, e.Message);
            var back = Duration.FromTimeSpan(options.CellKept) - Duration.FromDays(1);
            return cell with { ResolvedAt = cell.ResolvedAt - Duration.Max(back, Duration.Zero) };
        }
    }

    /// <summary>Nearest first, but never one on another mountain: the list itself knows distance only.</summary>
    private List<string> Suitable(WeatherCell cell, StationsAnswer answer) =>
        [
            .. (answer.Features ?? [])
                .Select(f =>
                    (
                        Id: f?.Properties?.StationIdentifier,
                        Height: f?.Properties?.Elevation is { Value: { } height } elevation
                            ? NwsUnits.To(NwsQuantity.HeightM, elevation.UnitCode)?.Invoke(height)
                            : null,
                        Km: f?.Geometry?.Coordinates is [var lon, var lat, ..]
                            ? GeoShape.DistanceKm(cell.LatitudeDeg, cell.LongitudeDeg, lat, lon)
                            : double.NaN
                    )
                )
                .Where(s => ForeignText.IsName(s.Id) && s.Km <= FarthestStationKm)
                .Where(s =>
                    s.Height is null
                    || cell.ElevationM is null
                    || Math.Abs(s.Height.Value - cell.ElevationM.Value)
                        <= options.StationHeightDifferenceM
                )
                .OrderBy(s => s.Km)
                .Take(StationsKept)
                .Select(s => s.Id!),
        ];

    private Instant Now() => Instant.FromDateTimeOffset(time.GetUtcNow());

    [LoggerMessage(
        Level = LogLevel.Information,
        Message = "The cell of {Zip} is water; its weather is taken from {Cell}"
    )]
    private partial void LogNudged(string zip, string cell);

    [LoggerMessage(Level = LogLevel.Information, Message = "No grid cell: {Reason}")]
    private partial void LogUncovered(string reason);

    [LoggerMessage(
        Level = LogLevel.Warning,
        Message = "{Cell} could not be looked up in full: {Reason}"
    )]
    private partial void LogUnconfirmed(string cell, string reason);
}
