namespace TurfWatch.Core.Advice;

/// <summary>Grass at rest grows no leaf and needs no mowing.</summary>
public static class DormantRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "dormant";

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var growing = morning.Growing;
        if (growing.Canopy == CanopyState.Active)
        {
            return Judgement.Silent;
        }

        var grass = growing.Grass;
        return new(
            [new(morning.Ahead.Start, morning.Ahead.End, HoldKind.Blocks, "at rest")],
            [
                new(
                    Id,
                    AdviceWeight.Blocks,
                    Phrase.Of($"The {grass.Name} is at rest and makes no new leaf to cut."),
                    Evidence(morning),
                    Phrase.Of(
                        $"shoots rest below {Quantity.TemperatureC(grass.DormancySoilC.Value)} in the soil and start again above {Quantity.TemperatureC(grass.GreenUpSoilC.Value)}"
                    ),
                    grass.DormancySoilC.Source
                ),
            ]
        );
    }

    private static Phrase Evidence(Morning morning)
    {
        var index = Math.Min(morning.Site.IndexOf(morning.Now), morning.Site.Count - 1);
        return index >= 0 && !double.IsNaN(morning.Site.SoilTemperature10CmC[index])
            ? Phrase.Of(
                $"soil {Quantity.TemperatureC(morning.Site.SoilTemperature10CmC[index])} at {morning.TenCm}"
            )
            : Phrase.Of($"by the calendar; the soil temperature is not known");
    }
}
