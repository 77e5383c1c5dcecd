using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Agronomy.Windows;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>The soil temperatures that matter to a lawn's grasses.</summary>
internal static class SoilLevels
{
    public static IEnumerable<ChartLevel> Of(Lawn lawn)
    {
        var grass = Grasses.Of(lawn.Grass);
        if (grass.Season == GrassSeason.Warm)
        {
            if (lawn.Overseed is not null)
            {
                yield return Level($"overseed below this", Overseed.OpensBelowC);
            }

            yield return Level($"{grass.Name} turns green", grass.GreenUpSoilC.Value);
            yield return Level($"{grass.Name} goes dormant", grass.DormancySoilC.Value);
        }
        else
        {
            yield return Level($"sow below this in late summer", CoolSeasonSeeding.BestBelowC);
            yield return Level($"{grass.Name} stops growing", grass.DormancySoilC.Value);
        }

        yield return Level($"crabgrass comes up", CrabgrassPreEmergent.ComesUpC);
    }

    private static ChartLevel Level(FormattableString name, double celsius) =>
        new(Phrase.Of(name), celsius);
}
