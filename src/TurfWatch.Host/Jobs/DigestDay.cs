using NodaTime;
using NodaTime.Calendars;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>Which digest a lawn is owed on a day, and its key.</summary>
internal static class DigestDay
{
    /// <summary>The day of the newest digest that is owed: of one or two days ago too, when the service was down on it.</summary>
    public static LocalDate? Of(DueSeason season, JobsOptions options)
    {
        if (season.Lawn.DigestDay is not { } day)
        {
            return null;
        }

        var date = season.Date.DayOfWeek == day ? season.Date : season.Date.Previous(day);
        var due = DueAt(date, season.Lawn);
        return
            due >= season.AddedAt && season.DueAt - due < Duration.FromTimeSpan(options.DigestLate)
            ? date
            : null;
    }

    public static Instant DueAt(LocalDate date, Lawn lawn) =>
        LocalDue.At(date, lawn.MessageTime, lawn.Place.Zone);

    /// <summary>The ISO week of the digest's day names it: <c>2026-W48#12</c>.</summary>
    public static string KeyOf(LocalDate date, long lawnId) =>
        $"{WeekYearRules.Iso.GetWeekYear(date):0000}-W{WeekYearRules.Iso.GetWeekOfWeekYear(date):00}#{lawnId}";
}
