using System.Collections.Immutable;

namespace TurfWatch.Core.Agronomy;

/// <summary>
/// Nitrogen and salt where dogs go: a dead centre and a tall dark ring (Colorado State fact sheet 553; University of
/// Maryland and Cornell extension: flush at once, the ring is the nitrogen).
/// </summary>
public static class PetSpots
{
    /// <summary>Who says so.</summary>
    public const string Source =
        "Colorado State fact sheet 553; University of Maryland and Cornell extension";

    /// <summary>Water on a fresh spot [mm]: an inch; judgement, the sources say "heavily".</summary>
    public const double FlushMm = 25.4;

    /// <summary>For feeding: the spots have had theirs.</summary>
    public static Phrase DoNotFeed { get; } =
        Phrase.Of(
            $"Leave dog spots out: the dark tall ring has more nitrogen than it can use, and the centre died of it."
        );

    /// <summary>What to do with the spots, in order.</summary>
    /// <param name="lawn">The lawn.</param>
    public static ImmutableArray<Phrase> Steps(Lawn lawn)
    {
        var seeded = Grasses.Of(lawn.Grass).Seed is not null;
        return
        [
            Phrase.Of(
                $"Soak a fresh spot at once, within hours at the latest: about {Quantity.WaterMm(FlushMm)} of water on it. Powders and gypsum do not help."
            ),
            Phrase.Of($"Mow the tall ring with the rest; do not feed it."),
            seeded
                ? Phrase.Of(
                    $"Where the centre is dead, flush it, scratch it open and sow {Grasses.Of(lawn.Grass).Name} into it when its season is open."
                )
                : Phrase.Of(
                    $"Where the centre is dead, flush it and let the edge grow in, or set a plug of {Grasses.Of(lawn.Grass).Name}."
                ),
        ];
    }
}
