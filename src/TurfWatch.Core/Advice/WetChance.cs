using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Reads the chance of wet leaves between the hours.</summary>
public static class WetChance
{
    /// <summary>Below this chance the leaves count as dry [%]: nine mornings in ten they are.</summary>
    public const double SafePercent = 10;

    /// <summary>From this chance on leaves that were dry count as wet again [%].</summary>
    public const double WetAgainPercent = 50;

    /// <summary>The highest chance within an hour, or what is left of it [%]: that at its beginning or its end; NaN when neither is known.</summary>
    public static double Within(SiteConditions site, Interval hour) =>
        (At(site, hour.Start), At(site, hour.End)) switch
        {
            (double.NaN, var end) => end,
            (var start, double.NaN) => start,
            var (start, end) => Math.Max(start, end),
        };

    /// <summary>The chance at an instant, straight between the ends of the hours [%]; NaN when unknown.</summary>
    public static double At(SiteConditions site, Instant instant)
    {
        var upper = site.IndexOf(instant);
        if (upper < 0 || upper >= site.Count)
        {
            return double.NaN;
        }

        var above = site.WetChancePercent[upper];
        var share = (site.HourEnd(upper) - instant).TotalHours;
        if (upper == 0 || share < 1e-9 || double.IsNaN(site.WetChancePercent[upper - 1]))
        {
            return above;
        }

        return above + (site.WetChancePercent[upper - 1] - above) * share;
    }

    /// <summary>When the chance, from the present on, first is below <paramref name="percent"/>; null when not in what is left of the day.</summary>
    public static Instant? FallsBelow(Morning morning, double percent)
    {
        var previous = morning.Ahead.Start;
        if (At(morning.Site, previous) < percent)
        {
            return previous;
        }

        foreach (var i in morning.HoursAhead)
        {
            var end = morning.Site.HourEnd(i);
            if (morning.Site.WetChancePercent[i] < percent)
            {
                return Crossing(morning.Site, previous, end, percent);
            }

            previous = end;
        }

        return null;
    }

    /// <summary>When the chance, straight between two instants, crosses <paramref name="percent"/>.</summary>
    public static Instant Crossing(SiteConditions site, Instant from, Instant to, double percent)
    {
        var a = At(site, from);
        var b = At(site, to);
        if (double.IsNaN(a) || double.IsNaN(b) || a == b)
        {
            return to;
        }

        var share = Math.Clamp((percent - a) / (b - a), 0, 1);
        return from + (to - from) * share;
    }
}
