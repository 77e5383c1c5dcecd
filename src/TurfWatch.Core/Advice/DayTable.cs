using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>The day hour by hour, from the message to the end of the owner's hours.</summary>
public static class DayTable
{
    /// <summary>The rows; hours of which the series knows nothing at all are left out. None on a closed day: one answer for all.</summary>
    public static ImmutableArray<BriefingHour> Of(Morning morning, ImmutableArray<Hold> holds)
    {
        if (morning.Closed)
        {
            return [];
        }

        var end = morning.At(morning.Lawn.MowUntil);
        var windows = OpenTime.Find(morning.Ahead, holds, morning.Lawn.MowingTime);
        return
        [
            .. morning
                .HoursAhead.Where(i => morning.Hour(i).Start < end && AnythingKnown(morning, i))
                .Select(i => Row(morning, i, holds, windows)),
        ];
    }

    private static BriefingHour Row(
        Morning morning,
        int i,
        ImmutableArray<Hold> holds,
        ImmutableArray<Interval> windows
    )
    {
        var weather = morning.Site.Weather;
        var hour = Clip(morning.Hour(i), morning.Now);
        var over = holds
            .Where(h => h.Within(hour) > Duration.Zero)
            .OrderBy(h => h.Kind == HoldKind.Care)
            .ThenByDescending(h => h.Within(hour))
            .ToList();
        var mowable = over.TrueForAll(h => h.Kind == HoldKind.Care);
        var (openFrom, openUntil) = mowable ? (null, null) : Part(hour, windows);
        return new(
            morning.Site.HourEnd(i),
            weather[WeatherColumn.AirTemperatureC][i],
            WetChance.Within(morning.Site, hour),
            weather[WeatherColumn.PrecipitationProbabilityPercent][i],
            weather[WeatherColumn.PrecipitationMm][i],
            weather[WeatherColumn.WindSpeedMS][i],
            mowable,
            over.Count > 0 ? over[0].Note : "",
            openFrom,
            openUntil
        );
    }

    /// <summary>The bounds, told on the quarter hour, of the first window that opens or closes within the hour.</summary>
    private static (Instant? From, Instant? Until) Part(
        Interval hour,
        ImmutableArray<Interval> windows
    )
    {
        foreach (var window in windows)
        {
            var from = Clock.Up(Instant.Max(window.Start, hour.Start));
            var until = Clock.Down(Instant.Min(window.End, hour.End));
            if (until > from)
            {
                return (
                    window.Start > hour.Start ? from : null,
                    window.End < hour.End ? until : null
                );
            }
        }

        return (null, null);
    }

    private static bool AnythingKnown(Morning morning, int i) =>
        !double.IsNaN(morning.Site.Weather[WeatherColumn.AirTemperatureC][i])
        || !double.IsNaN(morning.Site.WetChancePercent[i])
        || !double.IsNaN(morning.Site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i]);

    private static Interval Clip(Interval hour, Instant now) =>
        new(Instant.Min(Instant.Max(hour.Start, now), hour.End), hour.End);
}
