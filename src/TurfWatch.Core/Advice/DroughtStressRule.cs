using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>Thirsty grass is not mown: it wilts, shows every wheel, and cannot grow back.</summary>
public static class DroughtStressRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "drought-stress";

    /// <summary>Share of unstressed growth below which mowing waits; judgement, no source.</summary>
    public const double TooDry = 0.5;

    private const string Source =
        "stress by FAO-56 (Allen et al. 1998) eq. 84 and Table 22; not mowing wilted grass: common practice; the half is judgement";

    /// <summary>Judges the day; silent while the soil water is not known.</summary>
    public static Judgement Judge(Morning morning)
    {
        var i = morning.Site.IndexOf(morning.Ahead.Start);
        if (i < 0 || i >= morning.Site.Count || morning.Growing.Canopy == CanopyState.Dormant)
        {
            return Judgement.Silent;
        }

        var water = morning.Site.AvailableWaterFraction[i];
        var grass = morning.Growing.Grass;
        var factor = LeafGrowth.WaterFactor(grass, water);
        if (factor >= 1)
        {
            return Judgement.Silent;
        }

        var blocks = factor < TooDry;
        return new(
            [
                new(
                    morning.Ahead.Start,
                    morning.Ahead.End,
                    blocks ? HoldKind.Blocks : HoldKind.Care,
                    blocks ? "too dry" : "dry soil"
                ),
            ],
            [
                new(
                    Id,
                    blocks ? AdviceWeight.Blocks : AdviceWeight.Cautions,
                    blocks
                        ? Phrase.Of(
                            $"The {grass.Name} is short of water: let it drink and stand up again before you cut it."
                        )
                        : Phrase.Of(
                            $"The soil is getting dry: if footprints stay in the grass, do not mow."
                        ),
                    Phrase.Of($"{Quantity.Percent(water * 100)} of the root zone's water is left"),
                    Phrase.Of(
                        $"stress from {Quantity.Percent((1 - grass.WaterStressDepletion.Value) * 100)}, no mowing below {Quantity.Percent((1 - grass.WaterStressDepletion.Value) * TooDry * 100)}"
                    ),
                    Source
                ),
            ]
        );
    }
}
