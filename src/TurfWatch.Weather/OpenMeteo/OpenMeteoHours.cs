using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Weather.OpenMeteo;

/// <summary>Turns an Open-Meteo answer into hours of ours.</summary>
internal static class OpenMeteoHours
{
    private const long SecondsPerHour = 3600;
    private const int MostHours = 120 * 24;

    /// <summary>All hours of the answer. Hours that end by <paramref name="now"/> count as analysed, later ones as forecast.</summary>
    /// <exception cref="FormatException">The answer cannot be read; the message says why.</exception>
    public static WeatherSeries Read(OpenMeteoAnswer answer, Instant now)
    {
        if (answer.Error == true)
        {
            throw new FormatException($"answered an error: {answer.Reason}");
        }

        if (answer.UtcOffsetSeconds is not (null or 0))
        {
            throw new FormatException(
                $"asked for GMT, answered with an offset of {answer.UtcOffsetSeconds} s"
            );
        }

        if (answer.Hourly is not { Time: { Length: > 0 } time } hourly)
        {
            throw new FormatException("the answer has no hourly.time");
        }

        if (time.Any(t => t % SecondsPerHour != 0))
        {
            throw new FormatException("the answer has times off the whole hour");
        }

        // Compared before anything is subtracted: extremes would run over.
        var (first, last) = (time.Min(), time.Max());
        var about = now.ToUnixTimeSeconds();
        if (
            first < about - (MostHours * SecondsPerHour)
            || last > about + (MostHours * SecondsPerHour)
        )
        {
            throw new FormatException($"the answer's times ({first} to {last}) are not about now");
        }

        var count = (last - first) / SecondsPerHour + 1;
        if (count > MostHours)
        {
            throw new FormatException($"the answer spans {count} hours");
        }

        var builder = new WeatherSeriesBuilder(Instant.FromUnixTimeSeconds(first), (int)count);
        foreach (var column in OpenMeteoColumn.All)
        {
            var values = column.Values(hourly);
            if (values?.Length == time.Length && HasUnit(answer, column))
            {
                Fill(builder[column.Column], column, time, values);
            }
        }

        MarkOrigins(builder, Instant.FromUnixTimeSeconds(first), now);
        return builder.Build();
    }

    private static bool HasUnit(OpenMeteoAnswer answer, OpenMeteoColumn column) =>
        answer.Units?.GetValueOrDefault(column.Name) is not { } unit || unit == column.Unit;

    private static void Fill(
        Span<double> target,
        OpenMeteoColumn column,
        long[] time,
        double?[] values
    )
    {
        var first = time.Min();
        for (var i = 0; i < values.Length; i++)
        {
            if (values[i] is { } value && value >= column.Least && value <= column.Most)
            {
                target[(int)((time[i] - first) / SecondsPerHour)] = value;
            }
        }

        if (!column.Instant)
        {
            return;
        }

        // From the end backwards, so that each hour still finds its beginning untouched. Where one end
        // is missing, the other stands for the hour.
        for (var i = target.Length - 1; i > 0; i--)
        {
            target[i] =
                double.IsNaN(target[i]) ? double.NaN
                : double.IsNaN(target[i - 1]) ? target[i]
                : (target[i - 1] + target[i]) / 2;
        }
    }

    private static void MarkOrigins(WeatherSeriesBuilder builder, Instant first, Instant now)
    {
        for (var i = 0; i < builder.Count; i++)
        {
            var known = false;
            foreach (var column in OpenMeteoColumn.All)
            {
                known |= !double.IsNaN(builder[column.Column][i]);
            }

            if (known)
            {
                var passed = first + Duration.FromHours(i) <= now;
                builder.Origins[i] = new(
                    passed ? HourKind.Analysed : HourKind.Forecast,
                    OpenMeteoSource.SourceId,
                    null
                );
            }
        }
    }
}
