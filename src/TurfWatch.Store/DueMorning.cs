using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A morning message that is owed.</summary>
/// <param name="Subscriber">To whom.</param>
/// <param name="Lawn">About which lawn.</param>
/// <param name="Date">For which local date.</param>
/// <param name="DueAt">The instant of <see cref="Lawn.MessageTime"/> on that date.</param>
public sealed record DueMorning(Subscriber Subscriber, Lawn Lawn, LocalDate Date, Instant DueAt)
{
    /// <summary>The outbox key: with subscriber and kind it is unique, so the morning is sent once.</summary>
    public string Key => KeyOf(Date, Lawn.Id);

    public static string KeyOf(LocalDate date, long lawnId) => $"{Stored.Iso(date)}#{lawnId}";
}

/// <summary>The local dates whose due instant falls into a span.</summary>
internal static class MorningClock
{
    /// <summary>The zones and times of day [s after midnight] at which lawns of the store have their mornings.</summary>
    public static Task<List<(string ZoneId, long Second)>> HoursInUseAsync(
        IDatabase database,
        CancellationToken cancellation
    ) =>
        database.ReadAsync(
            c =>
                c.Query<(string ZoneId, long Second)>(
                        "SELECT DISTINCT zone_id, message_second FROM lawn"
                    )
                    .ToList(),
            cancellation
        );

    public static IEnumerable<(LocalDate Date, Instant At)> Due(
        string zoneId,
        long secondOfDay,
        Instant after,
        Instant upTo
    )
    {
        var zone = DateTimeZoneProviders.Tzdb[zoneId];
        var time = LocalTime.FromSecondsSinceMidnight((int)secondOfDay);
        var last = upTo.InZone(zone).Date;
        for (var date = after.InZone(zone).Date; date <= last; date = date.PlusDays(1))
        {
            var at = LocalDue.At(date, time, zone);
            if (at > after && at <= upTo)
            {
                yield return (date, at);
            }
        }
    }
}
