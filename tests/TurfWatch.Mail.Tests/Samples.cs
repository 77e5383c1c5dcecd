using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>Messages of our own invention, in the shapes that real ones have.</summary>
public static partial class Samples
{
    public static readonly Place Town = new(
        "78626",
        "Georgetown",
        "TX",
        30.65,
        -97.66,
        "America/Chicago"
    );

    public static readonly SenderOptions Sender = new()
    {
        FromName = "TurfWatch",
        FromAddress = "lawn@watch.example.org",
        PostalAddress = "12 Elm Street, Georgetown, TX 78626",
        PublicBaseUrl = new Uri("https://watch.example.org/"),
        OwnerAddress = "keeper@watch.example.org",
    };

    public static readonly Subscriber Reader = new(
        41,
        "pat+lawn@example.net",
        SubscriberStatus.Active
    );

    private static readonly LocalDate Date = new(2026, 11, 20);

    public static TheoryDataRow<string>[] Names =>
        [.. All.Keys.Select(k => new TheoryDataRow<string>(k))];

    public static IReadOnlyDictionary<string, MessageContent> All { get; } =
        new Dictionary<string, MessageContent>(StringComparer.Ordinal)
        {
            ["dew"] = Dew(),
            ["rain"] = Rain(),
            ["frost"] = Frost(),
            ["stale"] = Stale(),
            ["heat"] = Heat(),
            ["odd"] = Odd(),
            ["week"] = Week(),
            ["week-metric"] = MetricWeek(),
            ["week-bare"] = BareWeek(),
            ["week-odd"] = OddWeek(),
            ["opened"] = Opened(),
            ["closing"] = ClosingSoon(),
            ["closed"] = Closed(),
        };

    public static Instant At(int hour, int minute = 0, int day = 20) =>
        Town.Zone.AtStrictly(new LocalDateTime(2026, 11, day, hour, minute)).ToInstant();

    private static Finding Finding(
        string rule,
        AdviceWeight weight,
        Phrase text,
        Phrase evidence,
        Phrase threshold,
        string source
    ) => new(rule, weight, text, evidence, threshold, source);
}
