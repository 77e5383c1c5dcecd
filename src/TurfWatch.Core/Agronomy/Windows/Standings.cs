using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Where a window stands, from its dates.</summary>
internal static class Standings
{
    /// <summary>Days before the median closing from which a window is closing soon.</summary>
    public const int SoonDays = 10;

    /// <summary>Days for which an event that came counts as news.</summary>
    public const int NewsDays = 14;

    /// <summary>
    /// A window's standing. It opens or shuts when the middle of its dates lies in days that are wholly past, so that
    /// a forecast that changes its mind cannot open it and shut it again; a day of the calendar counts from its morning.
    /// </summary>
    /// <param name="year">The lawn's year.</param>
    /// <param name="opens">When it opens.</param>
    /// <param name="closes">When it closes.</param>
    /// <param name="soonFrom">From this day on it is closing soon whatever the closing date; null when nothing says so.</param>
    public static WindowStanding Of(
        LawnYear year,
        DateSpread opens,
        DateSpread closes,
        LocalDate? soonFrom = null
    )
    {
        if (closes.Median is not null && IsPast(year, closes))
        {
            return WindowStanding.Closed;
        }

        if (opens.Median is null)
        {
            return opens.Courses == 0 ? WindowStanding.Unknown : WindowStanding.Withheld;
        }

        if (!IsPast(year, opens))
        {
            return WindowStanding.Ahead;
        }

        return soonFrom <= year.Date || closes.Median <= year.Date.PlusDays(SoonDays)
            ? WindowStanding.ClosingSoon
            : WindowStanding.Open;
    }

    /// <summary>An event's standing: ahead, open while it is news, then closed.</summary>
    /// <param name="year">The lawn's year.</param>
    /// <param name="comes">When it comes.</param>
    public static WindowStanding OfEvent(LawnYear year, DateSpread comes) =>
        comes.Median switch
        {
            null when comes.Courses == 0 => WindowStanding.Unknown,
            null => WindowStanding.Withheld,
            { } date when !IsPast(year, comes) => WindowStanding.Ahead,
            { } date when date.PlusDays(NewsDays) >= year.Date => WindowStanding.Open,
            _ => WindowStanding.Closed,
        };

    /// <summary>Whether the middle of the dates is past, or a day of the calendar has come.</summary>
    public static bool IsPast(LawnYear year, DateSpread spread) =>
        spread.Median < year.Outlook.Today
        || (spread == DateSpread.On(year.Date) && spread.Median <= year.Date);
}
