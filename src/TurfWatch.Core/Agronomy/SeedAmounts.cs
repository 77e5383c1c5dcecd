using System.Collections.Immutable;

namespace TurfWatch.Core.Agronomy;

/// <summary>What seed is sown for.</summary>
public enum SeedPurpose
{
    /// <summary>A new lawn on bare ground.</summary>
    NewLawn,

    /// <summary>More of the same grass into a lawn that has thinned.</summary>
    ThinLawn,

    /// <summary>Winter rye over a warm-season lawn.</summary>
    WinterOverseed,

    /// <summary>Bare spots, such as dogs leave.</summary>
    BareSpots,
}

/// <summary>How much seed a purpose takes, as a rate and in sentences.</summary>
public static class SeedAmounts
{
    /// <summary>A thin lawn takes half of what bare ground takes (Kansas State county extension, 2019 and 2022).</summary>
    public const double ThinShare = 0.5;

    /// <summary>Share of pure live seed of a good lot [0–1]: about 96 % pure and 85 % alive (LSU AgCenter's marks), rounded.</summary>
    public const double GoodPureLiveShare = 0.8;

    /// <summary>The seeding rate, or null when the grass is not sown for that.</summary>
    public static SeedRate? Rate(GrassKind kind, SeedPurpose purpose)
    {
        var grass = Grasses.Of(kind);
        return purpose switch
        {
            SeedPurpose.NewLawn or SeedPurpose.BareSpots => grass.Seed,
            SeedPurpose.WinterOverseed => grass.WinterOverseedSeed,
            SeedPurpose.ThinLawn => grass.Seed is { } rate
                ? new(
                    rate.MinGM2 * ThinShare,
                    rate.UsualGM2 * ThinShare,
                    rate.MaxGM2 * ThinShare,
                    rate.Source + "; half of it into a thin lawn: Kansas State county extension"
                )
                : null,
            _ => throw new ArgumentOutOfRangeException(
                nameof(purpose),
                purpose,
                "use a named purpose"
            ),
        };
    }

    /// <summary>
    /// The rate, the seed for the lawn's area (when it is known) in two passes, and what a weak tag changes.
    /// One sentence alone when the grass is not sown for that.
    /// </summary>
    public static ImmutableArray<Phrase> Phrases(Lawn lawn, GrassKind kind, SeedPurpose purpose)
    {
        var name = Grasses.Of(kind).Name;
        if (Rate(kind, purpose) is not { } rate)
        {
            return purpose == SeedPurpose.WinterOverseed
                ? [Phrase.Of($"Winter lawns are sown with ryegrass, not with {name}.")]
                :
                [
                    Phrase.Of(
                        $"Lawns of {name} are not grown from seed: plant plugs or lay sod of it."
                    ),
                ];
        }

        var said = ImmutableArray.CreateBuilder<Phrase>();
        said.Add(
            Phrase.Of(
                $"Seed of {name}: {Q(rate.UsualGM2)}, from {Q(rate.MinGM2)} (thin) to {Q(rate.MaxGM2)} (thick)."
            )
        );
        if (purpose == SeedPurpose.BareSpots)
        {
            said.Add(
                Phrase.Of(
                    $"A spot the size of a hand takes a pinch: seeds a grain's width apart, no more."
                )
            );
            return said.ToImmutable();
        }

        if (lawn.AreaM2 is { } area)
        {
            var kg = rate.UsualGM2 * area / 1000;
            said.Add(
                Phrase.Of(
                    $"For your {new Quantity(QuantityKind.Area, area)}: {Mass(kg)}; two passes of {Mass(kg / 2)} each ({Q(rate.UsualGM2 / 2)}), the second crossways."
                )
            );
        }
        else
        {
            said.Add(
                Phrase.Of(
                    $"Two passes of {Q(rate.UsualGM2 / 2)} each, the second crossways. Tell us the lawn's area and we work out the weight."
                )
            );
        }

        said.Add(
            Phrase.Of(
                $"That is good seed: if purity times germination on the tag is below {Quantity.Percent(GoodPureLiveShare * 100)}, take more in that proportion."
            )
        );
        return said.ToImmutable();
    }

    private static Quantity Q(double gM2) => new(QuantityKind.AreaRate, gM2);

    private static Quantity Mass(double kg) => new(QuantityKind.Mass, kg);
}
