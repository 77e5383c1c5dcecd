using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Weather.NasaPower;

/// <summary>Turns a POWER answer into hours of ours.</summary>
internal static class PowerHours
{
    private const int StampLength = 10;

    /// <summary>
    /// The hours of <paramref name="answer"/> that end in [<paramref name="from"/>, <paramref name="to"/>].
    /// POWER stamps the start of the hour, we its end. A fill value is missing, parameter by parameter.
    /// </summary>
    /// <param name="answer">The answer.</param>
    /// <param name="from">End of the first hour: a whole hour.</param>
    /// <param name="to">End of the last hour.</param>
    /// <param name="elevationM">Height of the place; temperature and dew point are brought from POWER's cell to it. Null leaves them.</param>
    /// <exception cref="FormatException">The answer cannot be read; the message says why.</exception>
    public static WeatherSeries Read(
        PowerAnswer answer,
        Instant from,
        Instant to,
        double? elevationM
    )
    {
        if (answer.Properties?.Parameter is not { } parameters)
        {
            throw new FormatException("the answer has no properties.parameter");
        }

        if (
            answer.Header?.TimeStandard is { } standard
            && !standard.Equals("UTC", StringComparison.OrdinalIgnoreCase)
        )
        {
            throw new FormatException($"asked for UTC, answered in '{standard}'");
        }

        var count = Math.Max(0, (int)(to - from).TotalHours + 1);
        var builder = new WeatherSeriesBuilder(from, count);
        foreach (var column in PowerColumn.All)
        {
            if (
                parameters.GetValueOrDefault(column.Name) is { } values
                && column.FactorFrom(answer.Parameters?.GetValueOrDefault(column.Name)?.Units)
                    is { } factor
            )
            {
                Fill(builder, column, values, factor, answer.IsFill, from);
            }
        }

        var shift = answer.ShiftTo(elevationM);
        Shift(builder[WeatherColumn.AirTemperatureC], shift);
        Shift(builder[WeatherColumn.DewPointC], shift);
        MarkOrigins(builder);
        return builder.Build();
    }

    private static void Fill(
        WeatherSeriesBuilder builder,
        PowerColumn column,
        Dictionary<string, double?> values,
        double factor,
        Func<double, bool> isFill,
        Instant from
    )
    {
        var target = builder[column.Column];
        foreach (var (stamp, given) in values)
        {
            // POWER stamps the start.
            var index = (int)(HourStart(stamp) - from).TotalHours + 1;
            if (index < 0 || index >= target.Length || given is not { } raw)
            {
                continue;
            }

            var value = raw * factor;
            if (!isFill(raw) && value >= column.Least && value <= column.Most)
            {
                target[index] = column.Most == 105 ? Math.Min(value, 100) : value;
            }
        }
    }

    private static Instant HourStart(string stamp)
    {
        if (
            stamp.Length != StampLength
            || !DateTime.TryParseExact(
                stamp,
                "yyyyMMddHH",
                CultureInfo.InvariantCulture,
                DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal,
                out var start
            )
        )
        {
            throw new FormatException($"'{stamp}' is not a stamp of the form YYYYMMDDHH");
        }

        return Instant.FromDateTimeUtc(start);
    }

    private static void Shift(Span<double> column, double by)
    {
        foreach (ref var value in column)
        {
            value += by; // NaN stays NaN
        }
    }

    private static void MarkOrigins(WeatherSeriesBuilder builder)
    {
        var known = new HourOrigin(HourKind.Analysed, NasaPowerSource.SourceId, null);
        for (var i = 0; i < builder.Count; i++)
        {
            foreach (var column in PowerColumn.All)
            {
                if (!double.IsNaN(builder[column.Column][i]))
                {
                    builder.Origins[i] = known;
                    break;
                }
            }
        }
    }
}
