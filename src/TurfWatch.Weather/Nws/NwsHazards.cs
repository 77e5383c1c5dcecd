using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>Which of the listed alerts are in force.</summary>
internal static class NwsHazards
{
    private const int LongestName = 100;

    /// <summary>
    /// Leaves out tests, cancellations and what they cancel, messages that a later one replaces, and
    /// hazards that are over. "expires" is the message's end, "ends" the hazard's: a hazard outlasts its message.
    /// </summary>
    public static ImmutableArray<Hazard> InForce(IEnumerable<AlertFeature?> features, Instant now)
    {
        var alerts = features
            .Select(f => f?.Properties)
            .OfType<AlertProperties>()
            .Where(p => p.Status is null || Is(p.Status, "Actual"))
            .ToList();
        var replaced = alerts
            .SelectMany(a => a.References ?? [])
            .Select(r => r?.Identifier)
            .OfType<string>()
            .ToHashSet(StringComparer.Ordinal);
        return
        [
            .. alerts
                .Where(a => !Is(a.MessageType, "Cancel"))
                .Where(a => a.Id is null || !replaced.Contains(a.Id))
                .Where(a => !(Moment(a.Ends ?? a.Expires) <= now))
                .Select(a => new Hazard(
                    a.Event is { Length: > 0 } name ? Short(name) : "Weather alert",
                    Short(a.Severity ?? "Unknown"),
                    Moment(a.Onset ?? a.Effective),
                    Moment(a.Ends),
                    Short(a.SenderName ?? NwsSource.Credit)
                )),
        ];
    }

    private static string Short(string text) => ForeignText.OneLine(text, LongestName);

    private static Instant? Moment(DateTimeOffset? time) =>
        time is { } known ? Instant.FromDateTimeOffset(known) : null;

    private static bool Is(string? text, string word) =>
        string.Equals(text, word, StringComparison.OrdinalIgnoreCase);
}
