using System.Text.Json;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>A raw gridpoint answer as hours.</summary>
/// <param name="Hours">Past hours of the grid as analysed, the others as forecast.</param>
/// <param name="UpdatedAt">When the office made the grid; null when the answer does not say.</param>
/// <param name="ElevationM">Height of the cell; null when not told.</param>
/// <param name="Faults">What was left out, for the operator.</param>
internal sealed record GridForecast(
    WeatherSeries Hours,
    Instant? UpdatedAt,
    double? ElevationM,
    IReadOnlyList<string> Faults
)
{
    private const double WindHeightM = 10;

    /// <summary>Hours farther from now than this are not read, whatever the answer says.</summary>
    private static readonly Duration FarthestPast = Duration.FromDays(4);
    private static readonly Duration FarthestAhead = Duration.FromDays(12);

    private static readonly (
        string Name,
        NwsQuantity Quantity,
        WeatherColumn Column,
        bool IsTotal
    )[] Layers =
    [
        ("temperature", NwsQuantity.TemperatureC, WeatherColumn.AirTemperatureC, false),
        ("dewpoint", NwsQuantity.TemperatureC, WeatherColumn.DewPointC, false),
        ("relativeHumidity", NwsQuantity.Percent, WeatherColumn.RelativeHumidityPercent, false),
        ("skyCover", NwsQuantity.Percent, WeatherColumn.CloudCoverPercent, false),
        ("windSpeed", NwsQuantity.SpeedMS, WeatherColumn.WindSpeedMS, false),
        ("windGust", NwsQuantity.SpeedMS, WeatherColumn.WindGustMS, false),
        ("quantitativePrecipitation", NwsQuantity.WaterMm, WeatherColumn.PrecipitationMm, true),
        (
            "probabilityOfPrecipitation",
            NwsQuantity.Percent,
            WeatherColumn.PrecipitationProbabilityPercent,
            false
        ),
    ];

    /// <summary>
    /// Reads the layers by name; one that is absent or in an unknown unit leaves its column missing. The
    /// grid's hour [t, t + 1 h) is stamped t + 1 h, the end of the hour.
    /// </summary>
    /// <exception cref="FormatException">There is no temperature or no humidity in the answer.</exception>
    public static GridForecast Read(JsonElement properties, Instant now)
    {
        var faults = new List<string>();
        var layers = new List<(List<GridRun> Runs, WeatherColumn Column, bool IsTotal)>();
        foreach (var (name, quantity, column, isTotal) in Layers)
        {
            var runs = GridLayer.Read(properties, name, quantity, out var fault);
            if (fault is not null)
            {
                faults.Add(fault);
            }

            if (runs is not null)
            {
                layers.Add((runs, column, isTotal));
            }
        }

        var updated = Updated(properties);
        var (first, count) = Span(layers, now, faults);
        var builder = new WeatherSeriesBuilder(first + Duration.FromHours(1), count, WindHeightM);
        foreach (var (runs, column, isTotal) in layers)
        {
            var values = isTotal
                ? GridLayer.Split(runs, first, count)
                : GridLayer.Repeat(runs, first, count);
            Fill(builder[column], column, values, faults);
        }

        for (var i = 0; i < count; i++)
        {
            var past = first + Duration.FromHours(i + 1) <= now;
            builder.Origins[i] = new(
                past ? HourKind.Analysed : HourKind.Forecast,
                NwsSource.SourceId,
                updated
            );
        }

        return new(builder.Build(), updated, Elevation(properties), faults);
    }

    /// <summary>From the first to the last hour of the temperature: hours without it are of no use.</summary>
    private static (Instant First, int Count) Span(
        List<(List<GridRun> Runs, WeatherColumn Column, bool IsTotal)> layers,
        Instant now,
        List<string> faults
    )
    {
        var temperature = layers.Find(l => l.Column == WeatherColumn.AirTemperatureC).Runs;
        var humid = layers.Exists(l =>
            l.Column is WeatherColumn.DewPointC or WeatherColumn.RelativeHumidityPercent
        );
        if (temperature is null || !humid)
        {
            var missing = temperature is null ? "temperature" : "dewpoint and relativeHumidity";
            throw new FormatException(
                $"the gridpoint has no {missing}{string.Concat(faults.Select(f => $"; {f}"))}"
            );
        }

        var first = Floor(Instant.Max(temperature[0].Start, now - FarthestPast));
        var last = Instant.Min(temperature[^1].End, now + FarthestAhead);
        var count = (int)Math.Floor((last - first).TotalHours);
        return count > 0
            ? (first, count)
            : throw new FormatException(
                $"the gridpoint's hours ({temperature[0].Start} to {temperature[^1].End}) are not about now ({now})"
            );
    }

    private static void Fill(
        Span<double> target,
        WeatherColumn column,
        double[] values,
        List<string> faults
    )
    {
        var absurd = 0;
        for (var i = 0; i < values.Length; i++)
        {
            target[i] = Plausible.Check(column, values[i]);
            absurd += double.IsNaN(target[i]) && !double.IsNaN(values[i]) ? 1 : 0;
        }

        if (absurd > 0)
        {
            faults.Add($"{absurd} values of {column} cannot be true and were left out");
        }
    }

    private static Instant? Updated(JsonElement properties) =>
        properties.Text("updateTime") is { } text
        && OffsetDateTimePattern.ExtendedIso.Parse(text) is { Success: true } parsed
        // The outermost years have hours that lie beyond all instants.
        && parsed.Value.Year is > 1900 and < 3000
            ? parsed.Value.ToInstant()
            : null;

    public static double? Elevation(JsonElement properties) =>
        properties.TryMember("elevation", out var height)
        && height.TryMember("value", out var value)
        && value.ValueKind == JsonValueKind.Number
        && NwsUnits.To(NwsQuantity.HeightM, height.Text("unitCode")) is { } convert
        && Plausible.IsElevation(convert(value.GetDouble()))
            ? convert(value.GetDouble())
            : null;

    private static Instant Floor(Instant instant)
    {
        var seconds = instant.ToUnixTimeSeconds();
        return Instant.FromUnixTimeSeconds(seconds - (((seconds % 3600) + 3600) % 3600));
    }
}
