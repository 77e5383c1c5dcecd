using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>What holds for every pre-emergent.</summary>
internal static class PreEmergent
{
    /// <summary>What to do.</summary>
    public static ImmutableArray<Phrase> Steps { get; } =
    [
        Phrase.Of(
            $"If weeds came up last year, choose a pre-emergent labelled for them and for your grass; a dense lawn may need none."
        ),
        Phrase.Of(
            $"Spread it at the rate and in the way that its label says, and water it in as it says."
        ),
    ];

    /// <summary>Days after one for which a sowing is withheld; common practice, no source: the label decides.</summary>
    public const int StopsSeedDays = 90;

    /// <summary>The one on record that may still stop seed sown today, or as soon as the window opens; null when none does.</summary>
    /// <param name="standing">Where the window of sowing would stand without it.</param>
    /// <param name="opens">When that window opens.</param>
    public static JournalEntry? StillInTheSoil(
        LawnYear year,
        WindowStanding standing,
        DateSpread opens
    )
    {
        LocalDate? sown = standing switch
        {
            WindowStanding.Ahead => opens.Median,
            WindowStanding.Open or WindowStanding.ClosingSoon => year.Date,
            _ => null,
        };
        return sown is { } date
            ? RecordOf.Did(year, JournalKind.PreEmergent, date.PlusDays(-StopsSeedDays), year.Date)
            : null;
    }

    /// <summary>Why a sowing is withheld after it.</summary>
    public static Finding StopsSeed(JournalEntry entry, string rule) =>
        new(
            rule,
            AdviceWeight.Blocks,
            Phrase.Of(
                $"Your journal says that you put down a pre-emergent on {entry.Date}: it may stop this seed too. Its label says how long to wait; if that is less than {StopsSeedDays} days, the label decides."
            ),
            Phrase.Of($"pre-emergent on {entry.Date}"),
            Phrase.Of(
                $"{StopsSeedDays} days after a pre-emergent, unless its label says otherwise"
            ),
            "common practice, no source"
        );

    /// <summary>What the journal says of a window that is done.</summary>
    public static Phrase PutDown(JournalEntry entry) =>
        Phrase.Of($"Your journal says that you put one down on {entry.Date}.");

    /// <summary>Cautions.</summary>
    public static ImmutableArray<Phrase> Cautions { get; } =
    [
        Phrase.Of(
            $"The product's label is the law: rate, clothing, how long people and pets stay off, distance from water, and how long before you may sow."
        ),
    ];
}
