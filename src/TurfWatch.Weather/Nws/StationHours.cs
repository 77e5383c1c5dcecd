using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Weather.Nws;

/// <summary>
/// A station's observations thinned to one an hour. A report belongs to the whole hour nearest to it,
/// and each column takes its value from the report nearest to the hour that has one: routine reports
/// come a few minutes before the hour, and columns are filled or left empty one by one.
/// </summary>
internal static class StationHours
{
    private const double WindHeightM = 10;

    /// <summary>Null when no report holds anything usable.</summary>
    public static WeatherSeries? Read(
        IEnumerable<ObservationProperties> reports,
        Instant from,
        Instant to
    )
    {
        var first = Hour(Math.Ceiling(from.ToUnixTimeSeconds() / 3600.0));
        var last = Hour(Math.Floor(to.ToUnixTimeSeconds() / 3600.0));
        var count = (int)(last - first).TotalHours + 1;
        if (count <= 0)
        {
            return null;
        }

        var builder = new WeatherSeriesBuilder(first, count, WindHeightM);
        var distance = new double[Enum.GetValues<WeatherColumn>().Length, count];
        var any = false;
        foreach (var report in reports)
        {
            if (report.Timestamp is not { } stamp)
            {
                continue;
            }

            var at = Instant.FromDateTimeOffset(stamp);
            var hour = Nearest(at);
            var index = (int)(hour - first).TotalHours;
            if (index < 0 || index >= count)
            {
                continue;
            }

            var away = Math.Abs((at - hour).TotalMinutes) + 1;
            foreach (var (column, value) in Values(report, at <= hour))
            {
                ref var nearest = ref distance[(int)column, index];
                if (!double.IsNaN(value) && (nearest == 0 || away < nearest))
                {
                    nearest = away;
                    builder[column][index] = value;
                    builder.Origins[index] = new(HourKind.Measured, NwsSource.SourceId, at);
                    any = true;
                }
            }
        }

        return any ? builder.Build() : null;
    }

    private static IEnumerable<(WeatherColumn Column, double Value)> Values(
        ObservationProperties report,
        bool beforeTheHour
    )
    {
        yield return Value(
            WeatherColumn.AirTemperatureC,
            NwsQuantity.TemperatureC,
            report.Temperature
        );
        yield return Value(WeatherColumn.DewPointC, NwsQuantity.TemperatureC, report.Dewpoint);
        yield return Value(
            WeatherColumn.RelativeHumidityPercent,
            NwsQuantity.Percent,
            report.RelativeHumidity
        );
        yield return Value(WeatherColumn.WindSpeedMS, NwsQuantity.SpeedMS, report.WindSpeed);
        yield return Value(WeatherColumn.WindGustMS, NwsQuantity.SpeedMS, report.WindGust);
        yield return (WeatherColumn.CloudCoverPercent, CloudCoverPercent(report.CloudLayers));
        // Rain is counted up from one routine report to the next, so only a report that closes the hour
        // holds the hour's sum. A missing sum is missing: stations leave it out when dry and when broken.
        if (beforeTheHour)
        {
            yield return Value(
                WeatherColumn.PrecipitationMm,
                NwsQuantity.WaterMm,
                report.PrecipitationLastHour
            );
        }
    }

    private static (WeatherColumn Column, double Value) Value(
        WeatherColumn column,
        NwsQuantity quantity,
        QuantityShape? shape
    )
    {
        var known =
            shape?.Value is { } raw
            && !Failed(shape.QualityControl)
            && NwsUnits.To(quantity, shape.UnitCode) is { } convert
                ? Plausible.Check(column, convert(raw))
                : double.NaN;
        return (column, known);
    }

    /// <summary>Flags as the archive that feeds the service has them: X failed a check, B was judged bad. Older answers write "qc:X".</summary>
    private static bool Failed(string? flag) => flag is "X" or "qc:X" or "B" or "qc:B";

    /// <summary>
    /// The densest layer in oktas: FEW 1–2, SCT 3–4, BKN 5–7, OVC 8 (WMO No. 306, FM 15 METAR, regulation
    /// 15.9; from memory, unverified), the middle of its group as a share of the sky. No layer at all says
    /// nothing: a clear sky is reported as CLR.
    /// </summary>
    internal static double CloudCoverPercent(IReadOnlyList<CloudLayerShape?>? layers)
    {
        var densest = double.NaN;
        foreach (var layer in layers ?? [])
        {
            var oktas = layer?.Amount switch
            {
                "CLR" or "SKC" => 0,
                "FEW" => 1.5,
                "SCT" => 3.5,
                "BKN" => 6,
                "OVC" or "VV" => 8,
                _ => double.NaN,
            };
            densest = double.IsNaN(densest) || oktas > densest ? oktas : densest;
        }

        return densest / 8 * 100;
    }

    private static Instant Nearest(Instant at) =>
        Hour(Math.Ceiling((at.ToUnixTimeSeconds() / 3600.0) - 0.5));

    private static Instant Hour(double hoursSince1970) =>
        Instant.FromUnixTimeSeconds((long)hoursSince1970 * 3600);
}
