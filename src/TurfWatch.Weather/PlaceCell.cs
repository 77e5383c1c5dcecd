using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Weather;

/// <summary>The cell of a place that no grid serves: the place itself, to about a kilometre.</summary>
internal static class PlaceCell
{
    public static WeatherCell At(Place place, Instant resolvedAt)
    {
        var (lat, lon) = (Math.Round(place.LatitudeDeg, 2), Math.Round(place.LongitudeDeg, 2));
        return new()
        {
            Id = string.Create(CultureInfo.InvariantCulture, $"at:{lat:0.##},{lon:0.##}"),
            LatitudeDeg = lat,
            LongitudeDeg = lon,
            ResolvedAt = resolvedAt,
        };
    }
}
