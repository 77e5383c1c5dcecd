using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Weather;

/// <summary>What a cell's own stored hours still lack, and what they can stand in for.</summary>
internal static class KeptHours
{
    /// <summary>Analyses of later days do not exist yet.</summary>
    private static readonly Duration AnalysisLag = Duration.FromDays(2);

    /// <summary>Radiation follows the rest by a week; after this it is not waited for.</summary>
    private static readonly Duration RadiationLag = Duration.FromDays(14);

    /// <summary>Kept hours that reach this far back are history enough.</summary>
    private static readonly Duration LongEnough = Duration.FromDays(60);

    /// <summary>Reports are filled in late: these are read again.</summary>
    private static readonly Duration LateReports = Duration.FromHours(24);

    private static readonly Duration StationsKeep = Duration.FromDays(7);

    /// <summary>End of the first hour that a history source should be asked for; null when none.</summary>
    public static Instant? HistoryFrom(WeatherSeries kept, Instant from, Instant now)
    {
        var temperature = kept[WeatherColumn.AirTemperatureC];
        var shortwave = kept[WeatherColumn.ShortwaveWM2];
        var hour = from;
        var first = FirstKnown(temperature);
        if (first >= 0 && now - kept.HourEnd(first) >= LongEnough)
        {
            hour = Instant.Max(from, kept.HourEnd(first));
        }

        for (; hour <= now - AnalysisLag; hour += Duration.FromHours(1))
        {
            var i = kept.Count == 0 ? -1 : kept.IndexOf(hour);
            var known = i >= 0 && i < kept.Count && !double.IsNaN(temperature[i]);
            if (!known || (double.IsNaN(shortwave[i]) && hour > now - RadiationLag))
            {
                return hour;
            }
        }

        return null;
    }

    /// <summary>End of the first hour that the stations should be asked for.</summary>
    /// <param name="lost">Since when kept reports were lost and are wanted again; null when none were.</param>
    public static Instant ObservationsFrom(WeatherSeries kept, Instant now, Instant? lost)
    {
        var oldest = now - StationsKeep;
        for (var i = kept.Count - 1; i >= 0; i--)
        {
            if (kept.Origins[i].Kind == HourKind.Measured)
            {
                var late = kept.HourEnd(i) - LateReports;
                return Instant.Max(oldest, Instant.Min(late, lost ?? late));
            }
        }

        return oldest;
    }

    /// <summary>When the kept hours to come were issued; null when there are none, or they do not say or are older than <paramref name="limit"/>.</summary>
    public static Instant? ForecastIssuedAt(WeatherSeries kept, Instant now, Duration limit)
    {
        Instant? newest = null;
        for (var i = 0; i < kept.Count; i++)
        {
            var origin = kept.Origins[i];
            if (
                kept.HourEnd(i) > now
                && origin is { Kind: HourKind.Forecast, IssuedAt: { } issued }
            )
            {
                newest = Instant.Max(newest ?? issued, issued);
            }
        }

        return newest is { } at && now - at <= limit ? newest : null;
    }

    private static int FirstKnown(ReadOnlySpan<double> column)
    {
        for (var i = 0; i < column.Length; i++)
        {
            if (!double.IsNaN(column[i]))
            {
                return i;
            }
        }

        return -1;
    }
}
