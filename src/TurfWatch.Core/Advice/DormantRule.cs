using NodaTime;

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
                    Text(morning),
                    Evidence(morning),
                    Phrase.Of(
                        $"shoots rest below {Quantity.TemperatureC(grass.DormancySoilC.Value)} in the soil and start again above {Quantity.TemperatureC(grass.GreenUpSoilC.Value)}"
                    ),
                    grass.DormancySoilC.Source
                ),
            ]
        );
    }

    private static Phrase Text(Morning morning)
    {
        var greenUp = morning.Growing.Grass.GreenUpSoilC.Value;
        var soilC = SoilC(morning);
        if (double.IsNaN(soilC))
        {
            return Phrase.Of(
                $"It makes no new leaf to cut before the soil passes {Quantity.TemperatureC(greenUp)}."
            );
        }

        return soilC < greenUp
            ? Phrase.Of(
                $"No new leaf before the soil passes {Quantity.TemperatureC(greenUp)}: {Quantity.DifferenceK(greenUp - soilC)} to go."
            )
            : Phrase.Of(
                $"The soil is just past {Quantity.TemperatureC(greenUp)}: new leaf may start within days if it stays there."
            );
    }

    private static Phrase Evidence(Morning morning)
    {
        var soilC = SoilC(morning);
        if (double.IsNaN(soilC))
        {
            return Phrase.Of($"by the calendar; the soil temperature is not known");
        }

        return Warmest(morning) is ({ } day, var mean) && mean > soilC + 0.5
            ? Phrase.Of(
                $"soil {Quantity.TemperatureC(soilC)} at {morning.TenCm}; forecast takes it to {Quantity.TemperatureC(mean)} by {day}"
            )
            : Phrase.Of(
                $"soil {Quantity.TemperatureC(soilC)} at {morning.TenCm}; no warmer in sight"
            );
    }

    // The day of the warmest mean of those that the forecast covers whole.
    private static (LocalDate? Day, double MeanC) Warmest(Morning morning)
    {
        (LocalDate? Day, double MeanC) warmest = (null, double.NaN);
        for (var ahead = 1; ahead <= 6; ahead++)
        {
            var day = morning.Date.PlusDays(ahead);
            var mean = MeanC(morning, morning.Zone.AtStartOfDay(day.PlusDays(1)).ToInstant());
            if (!double.IsNaN(mean) && !(mean <= warmest.MeanC))
            {
                warmest = (day, mean);
            }
        }

        return warmest;
    }

    private static double SoilC(Morning morning) => MeanC(morning, morning.Now);

    // Mean of the day that ends at an instant, as thresholds are read; NaN unless most of it is known.
    private static double MeanC(Morning morning, Instant end)
    {
        var last = morning.Site.IndexOf(end);
        var known = Enumerable
            .Range(last - 23, 24)
            .Where(i => i >= 0 && i < morning.Site.Count)
            .Select(i => morning.Site.SoilTemperature10CmC[i])
            .Where(t => !double.IsNaN(t))
            .ToList();
        return known.Count >= 18 ? known.Average() : double.NaN;
    }
}
