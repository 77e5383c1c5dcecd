using System.Collections.Immutable;

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

    /// <summary>Cautions.</summary>
    public static ImmutableArray<Phrase> Cautions { get; } =
    [
        Phrase.Of(
            $"The product's label is the law: rate, clothing, how long people and pets stay off, distance from water, and how long before you may sow."
        ),
    ];
}
