using NodaTime;
using NodaTime.TimeZones;

namespace TurfWatch.Core;

/// <summary>From a local date and time of day to the one instant at which something is due.</summary>
public static class LocalDue
{
    private static readonly ZoneLocalMappingResolver Resolver = Resolvers.CreateMappingResolver(
        Resolvers.ReturnEarlier,
        Resolvers.ReturnStartOfIntervalAfter
    );

    /// <summary>
    /// Exactly one instant for each date: a time that the clocks skip takes the first instant after the
    /// gap, one that they show twice takes the first.
    /// </summary>
    public static Instant At(LocalDate date, LocalTime time, DateTimeZone zone) =>
        zone.ResolveLocal(date + time, Resolver).ToInstant();
}
