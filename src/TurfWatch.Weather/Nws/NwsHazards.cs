using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Weather.Nws;

/// <summary>Which of the listed alerts are in force.</summary>
internal static class NwsHazards
{
    /// <summary>
    /// Leaves out tests, cancellations and what they cancel, messages that a later one replaces, and
    /// hazards that are over. "expires" is the message's end, "ends" the hazard's: a hazard outlasts its message.
    /// </summary>
    public static ImmutableArray<Hazard> InForce(IEnumerable<AlertFeature> features, Instant now)
    {
        var alerts = features
            .Select(f => f.Properties)
            .OfType<AlertProperties>()
            .Where(p => p.Status is null || Is(p.Status, "Actual"))
            .ToList();
        var replaced = alerts
            .SelectMany(a => a.References ?? [])
            .Select(r => r.Identifier)
            .OfType<string>()
            .ToHashSet(StringComparer.Ordinal);
        return
        [
            .. alerts
                .Where(a => !Is(a.MessageType, "Cancel"))
                .Where(a => a.Id is null || !replaced.Contains(a.Id))
                .Where(a => !(Moment(a.Ends ?? a.Expires) <= now))
                .Select(a => new Hazard(
                    a.Event is { Length: > 0 } name ? name : "Weather alert",
                    a.Severity ?? "Unknown",
                    Moment(a.Onset ?? a.Effective),
                    Moment(a.Ends),
                    a.SenderName ?? NwsSource.Credit
                )),
        ];
    }

    private static Instant? Moment(DateTimeOffset? time) =>
        time is { } known ? Instant.FromDateTimeOffset(known) : null;

    private static bool Is(string? text, string word) =>
        string.Equals(text, word, StringComparison.OrdinalIgnoreCase);
}
