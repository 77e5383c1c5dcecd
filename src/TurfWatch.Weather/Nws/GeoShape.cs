using System.Text.Json;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>The outline of a grid cell, and distances between places.</summary>
internal static class GeoShape
{
    private const double EarthRadiusKm = 6371.0;

    /// <summary>Outer ring of a GeoJSON polygon as (longitude, latitude); null when there is none.</summary>
    public static List<(double Lon, double Lat)>? Ring(JsonElement? geometry)
    {
        if (
            geometry is not { ValueKind: JsonValueKind.Object } shape
            || !shape.TryMember("coordinates", out var rings)
            || rings.ValueKind != JsonValueKind.Array
            || rings.GetArrayLength() == 0
            || rings[0].ValueKind != JsonValueKind.Array
        )
        {
            return null;
        }

        var ring = new List<(double, double)>();
        foreach (var point in rings[0].EnumerateArray())
        {
            if (
                point.ValueKind != JsonValueKind.Array
                || point.GetArrayLength() < 2
                || point[0].ValueKind != JsonValueKind.Number
                || point[1].ValueKind != JsonValueKind.Number
            )
            {
                return null;
            }

            ring.Add((point[0].GetDouble(), point[1].GetDouble()));
        }

        return ring.Count >= 4 ? ring : null;
    }

    /// <summary>Mean of the corners; good enough for a cell of 2.5 km.</summary>
    public static (double Lon, double Lat) Centre(List<(double Lon, double Lat)> ring)
    {
        var corners = ring.Take(ring.Count - 1).ToList();
        return (corners.Average(c => c.Lon), corners.Average(c => c.Lat));
    }

    /// <summary>Even-odd rule.</summary>
    public static bool Contains(List<(double Lon, double Lat)> ring, double lat, double lon)
    {
        var inside = false;
        for (int i = 0, j = ring.Count - 1; i < ring.Count; j = i++)
        {
            var (a, b) = (ring[i], ring[j]);
            if (
                a.Lat > lat != b.Lat > lat
                && lon < ((b.Lon - a.Lon) * (lat - a.Lat) / (b.Lat - a.Lat)) + a.Lon
            )
            {
                inside = !inside;
            }
        }

        return inside;
    }

    /// <summary>Great-circle distance (haversine).</summary>
    public static double DistanceKm(double latA, double lonA, double latB, double lonB)
    {
        var (a, b) = (double.DegreesToRadians(latA), double.DegreesToRadians(latB));
        var halfLat = Math.Sin((b - a) / 2);
        var halfLon = Math.Sin(double.DegreesToRadians(lonB - lonA) / 2);
        return 2
            * EarthRadiusKm
            * Math.Asin(
                Math.Sqrt((halfLat * halfLat) + (Math.Cos(a) * Math.Cos(b) * halfLon * halfLon))
            );
    }
}
