using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// One cell of the public weather services; all ZIP codes inside it share its weather.
/// </summary>
public sealed record WeatherCell
{
    /// <summary>Stable key in the store: <c>nws:EWX/120,52</c>, or <c>at:29.42,-98.49</c> where no grid cell exists.</summary>
    public required string Id { get; init; }

    /// <summary>Degrees north of the cell's centre (or of the place that opened it).</summary>
    public required double LatitudeDeg { get; init; }

    /// <summary>Degrees east.</summary>
    public required double LongitudeDeg { get; init; }

    /// <summary>Metres above sea level; null until a service has told it.</summary>
    public double? ElevationM { get; init; }

    /// <summary>Forecast office of the grid ("gridId"), null outside the grid.</summary>
    public string? GridId { get; init; }

    /// <summary>Column in the office's grid.</summary>
    public int? GridX { get; init; }

    /// <summary>Row in the office's grid.</summary>
    public int? GridY { get; init; }

    /// <summary>Observation stations to try, nearest suitable first.</summary>
    public IReadOnlyList<string> StationIds { get; init; } = [];

    /// <summary>When the services last said that this cell serves this place.</summary>
    public required Instant ResolvedAt { get; init; }
}
