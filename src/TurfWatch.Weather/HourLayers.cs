using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Nws;

namespace TurfWatch.Weather;

/// <summary>
/// Lays what several sources say of the same hours over one another. The past: measured over analysed
/// over grid hours that have passed. The future: the newest forecast alone.
/// </summary>
internal static class HourLayers
{
    private static readonly Duration Hour = Duration.FromHours(1);

    /// <summary>The hours from <paramref name="from"/> (a whole hour) to the end of the forecast, or to <paramref name="now"/> without one.</summary>
    /// <param name="from">End of the first hour.</param>
    /// <param name="now">Hours that end by then are past.</param>
    /// <param name="kept">Hours from earlier answers.</param>
    /// <param name="forecast">The forecast to use; may be <paramref name="kept"/>.</param>
    /// <param name="history">Analysed hours, newest answer.</param>
    /// <param name="observations">Measured hours, newest answer.</param>
    public static WeatherSeries Merge(
        Instant from,
        Instant now,
        WeatherSeries kept,
        WeatherSeries forecast,
        WeatherSeries history,
        WeatherSeries observations
    )
    {
        var last = from + Hour * Math.Max(0, Math.Floor((now - from).TotalHours));
        if (forecast.Count > 0)
        {
            last = Instant.Max(last, forecast.LastHourEnd);
        }

        var builder = new WeatherSeriesBuilder(from, (int)Math.Round((last - from).TotalHours) + 1);
        builder.Lay(Only(kept, (o, end) => end <= now && IsGridHour(o)));
        builder.Lay(Only(forecast, (_, end) => end <= now));
        builder.Lay(
            Only(kept, (o, end) => end <= now && o.Kind == HourKind.Analysed && !IsGridHour(o))
        );
        builder.Lay(Only(history, (_, end) => end <= now));
        builder.Lay(Only(kept, (o, end) => end <= now && o.Kind == HourKind.Measured));
        builder.Lay(Only(observations, (_, end) => end <= now));
        builder.Lay(Only(forecast, (_, end) => end > now));
        Settle(builder, from, now);
        return builder.Build();
    }

    /// <summary>Hours of <paramref name="hours"/> up to <paramref name="now"/> whose air temperature is known.</summary>
    public static int KnownHours(WeatherSeries hours, Instant now)
    {
        var temperature = hours[WeatherColumn.AirTemperatureC];
        var known = 0;
        for (var i = 0; i < hours.Count && hours.HourEnd(i) <= now; i++)
        {
            known += double.IsNaN(temperature[i]) ? 0 : 1;
        }

        return known;
    }

    /// <summary>Forecast hours, whether still ahead or passed since; a national grid's past is no reanalysis.</summary>
    private static bool IsGridHour(HourOrigin origin) =>
        origin.Kind == HourKind.Forecast
        || (origin.Kind == HourKind.Analysed && origin.Source == NwsSource.SourceId);

    private static WeatherSeries Only(WeatherSeries series, Func<HourOrigin, Instant, bool> wanted)
    {
        var builder = new WeatherSeriesBuilder(
            series.FirstHourEnd,
            series.Count,
            series.WindHeightM
        );
        for (var i = 0; i < series.Count; i++)
        {
            if (!wanted(series.Origins[i], series.HourEnd(i)))
            {
                continue;
            }

            builder.Origins[i] = series.Origins[i];
            foreach (var column in Enum.GetValues<WeatherColumn>())
            {
                builder[column][i] = series[column][i];
            }
        }

        return builder.Build();
    }

    private static void Settle(WeatherSeriesBuilder builder, Instant from, Instant now)
    {
        var temperature = builder[WeatherColumn.AirTemperatureC];
        var dewPoint = builder[WeatherColumn.DewPointC];
        for (var i = 0; i < builder.Count; i++)
        {
            // The two may be from different sources; air holds no more than it can.
            if (dewPoint[i] > temperature[i])
            {
                dewPoint[i] = temperature[i];
            }

            var origin = builder.Origins[i];
            if (origin.Kind == HourKind.Forecast && from + Hour * i <= now)
            {
                builder.Origins[i] = origin with { Kind = HourKind.Analysed };
            }
        }
    }
}
