using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>Which hours make up a local day: those whose middle lies in it, so that zones off the whole hour work too.</summary>
internal static class LocalDays
{
    private static readonly Duration HalfHour = Duration.FromMinutes(30);

    /// <summary>Index of the first hour of a local day; may lie outside. The day ends where the next begins.</summary>
    public static int FirstHour(Instant firstHourEnd, DateTimeZone zone, LocalDate date) =>
        (int)
            Math.Ceiling(
                (zone.AtStartOfDay(date).ToInstant() + HalfHour - firstHourEnd).TotalHours
            );

    /// <summary>The local day of an hour.</summary>
    public static LocalDate Of(Instant hourEnd, DateTimeZone zone) =>
        (hourEnd - HalfHour).InZone(zone).Date;
}
