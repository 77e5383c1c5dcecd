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
    /// <param name="sown">The grass whose seeding window is open.</param>
    public static ImmutableArray<Phrase> Steps(Lawn lawn, GrassKind sown)
    {
        var name = Grasses.Of(lawn.Grass).Name;
        return
        [
            Phrase.Of(
                $"Soak a fresh spot at once, within hours at the latest: about {Quantity.WaterMm(FlushMm)} of water on it. Powders and gypsum do not help."
            ),
            Phrase.Of($"Mow the tall ring with the rest; do not feed it."),
            sown == lawn.Grass
                ? Phrase.Of(
                    $"Where the centre is dead, flush it, scratch it open and sow {name} into it."
                )
                : Phrase.Of(
                    $"Where the centre is dead, flush it, scratch it open and sow the {Grasses.Of(sown).Name} over it with the rest; the {name} closes it from the edge in summer, or set a plug then."
                ),
        ];
    }
}
