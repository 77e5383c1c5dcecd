using NodaTime;
using NodaTime.Calendars;
using TurfWatch.Core;

namespace TurfWatch.Host.Jobs;

/// <summary>Outbox keys of alerts and digests: an event of a window comes once a season, a digest once a week.</summary>
internal static class SeasonKeys
{
    public static string Alert(SeasonAlert alert, long lawnId) =>
        $"{alert.Window.Key}:{alert.Event}#{lawnId}";

    public static string Digest(LocalDate date, long lawnId) =>
        $"{WeekYearRules.Iso.GetWeekYear(date):0000}-W{WeekYearRules.Iso.GetWeekOfWeekYear(date):00}#{lawnId}";
}
