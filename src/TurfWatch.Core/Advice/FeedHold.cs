using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>What forbids feeding a grass this week: law first, then the record, then grass and ground, then the sky.</summary>
public static class FeedHold
{
    /// <summary>Air temperature at which fertilizer burns cool-season grass [°C]: 90 °F; common practice.</summary>
    public const double CoolHeatC = 32.2;

    /// <summary>The same for warm-season grass [°C]: 100 °F; judgement.</summary>
    public const double WarmHeatC = 37.8;

    private const int HeatHours = 72;

    private const string Practice = "common practice, no source";

    /// <summary>The first reason that holds, or null when nothing stands in the way.</summary>
    /// <param name="year">The lawn's year.</param>
    /// <param name="grass">The grass that would be fed.</param>
    /// <param name="given">What it was given this season.</param>
    /// <param name="rain">Rain to come.</param>
    public static Finding? On(LawnYear year, Grass grass, NitrogenGiven given, RainToCome rain) =>
        BlackOut(year)
        ?? Ceiling(year, grass, given)
        ?? Lately(year, grass, given)
        ?? Resting(year, grass)
        ?? Frozen(year)
        ?? Saturated(year)
        ?? Storm(year)
        ?? HeavyRain(year, rain)
        ?? Thirsty(year, grass)
        ?? Heat(year, grass);

    /// <summary>
    /// Whether word of an open window waits: for the record, the law, or what passes in days. Drought, heat and rest may
    /// outlast the window, and an owner who is told nothing misses it: those are cautions of the alert.
    /// </summary>
    /// <param name="year">The lawn's year.</param>
    /// <param name="grass">The grass that would be fed.</param>
    /// <param name="given">What it was given this season.</param>
    /// <param name="rain">Rain to come.</param>
    public static bool Silences(LawnYear year, Grass grass, NitrogenGiven given, RainToCome rain) =>
        (
            BlackOut(year)
            ?? Ceiling(year, grass, given)
            ?? Lately(year, grass, given)
            ?? Frozen(year)
            ?? Saturated(year)
            ?? Storm(year)
            ?? HeavyRain(year, rain)
        )
            is not null;

    private static Finding? BlackOut(LawnYear year)
    {
        var law = Law(year);
        return law is { BlackOut: { } rule, FreeFrom: { } free }
            ? Made(
                Phrase.Of(
                    $"{law.Name} law forbids it now: {rule.Text}. Not before {free}; look up your county and town too."
                ),
                Phrase.Of($"today is {year.Date}"),
                Phrase.Of($"{rule.Text}"),
                rule.Source
            )
            : null;
    }

    private static Finding? Ceiling(LawnYear year, Grass grass, NitrogenGiven given) =>
        given.Full
            ? Made(
                Phrase.Of(
                    $"The {grass.Name} has had its nitrogen of the season: more makes thatch, disease and mowing."
                ),
                Phrase.Of($"{Rate(given.NitrogenGM2)} given since {given.From}"),
                Phrase.Of($"at most {Rate(given.Need.SeasonMaxGM2)} a season"),
                given.Need.Source
            )
            : null;

    private static Finding? Lately(LawnYear year, Grass grass, NitrogenGiven given) =>
        given.Last is { } last
        && last.PlusWeeks(FeedAmount.WeeksBetween) is var next
        && next > year.Date
            ? Made(
                Phrase.Of($"The {grass.Name} was fed on {last}: leave it until {next} at least."),
                Phrase.Of($"fed on {last}"),
                Phrase.Of($"{FeedAmount.WeeksBetween} weeks between feedings"),
                Practice
            )
            : null;

    private static Finding? Resting(LawnYear year, Grass grass)
    {
        var alone = year.Lawn with { Grass = grass.Kind, Overseed = null };
        var soilC = NitrogenGiven.SoilBefore(year.Outlook.Past, year.Date);
        return GrowingGrass.On(alone, year.Date, soilC).Canopy == CanopyState.Dormant
            ? Made(
                Phrase.Of(
                    $"The {grass.Name} is at rest and would not take it up: the water would carry it off."
                ),
                soilC is { } known
                    ? Phrase.Of($"soil {Quantity.TemperatureC(known)} over the last days")
                    : Phrase.Of($"by the calendar; the soil temperature is not known"),
                Phrase.Of(
                    $"rests below {Quantity.TemperatureC(grass.DormancySoilC.Value)}, green again above {Quantity.TemperatureC(grass.GreenUpSoilC.Value)}"
                ),
                grass.DormancySoilC.Source
            )
            : null;
    }

    private static Finding? Frozen(LawnYear year)
    {
        var i = year.Site.IndexOf(year.Now);
        return i >= 0 && i < year.Site.Count && FrozenGroundRule.Frozen(year.Site, i)
            ? Made(
                Phrase.Of($"The ground is frozen: what is spread on it runs off with the thaw."),
                Phrase.Of($"soil {Quantity.TemperatureC(Colder(year.Site, i))}"),
                Phrase.Of(
                    $"frozen at {Quantity.TemperatureC(FrozenGroundRule.FrozenSoilC)}, or below {Quantity.TemperatureC(FrozenGroundRule.ColdSoilC)} after a day of frost"
                ),
                Forbidden(year, LawKind.FrozenGround)
            )
            : null;
    }

    // Frost lies at 5 cm, or at 10 cm under a thawed top.
    private static double Colder(SiteConditions site, int i) =>
        site.SoilTemperature10CmC[i] < site.SoilTemperature5CmC[i]
            ? site.SoilTemperature10CmC[i]
            : site.SoilTemperature5CmC[i];

    private static Finding? Saturated(LawnYear year)
    {
        var wetness = At(year, year.Site.SurfaceSoilWetness);
        var limit = SoilBearingRule.TooWet(year.Lawn.Soil);
        return wetness > limit
            ? Made(
                Phrase.Of(
                    $"The ground is full of water: fertilizer would run off it. Wait until it has drained."
                ),
                Phrase.Of(
                    $"top of the soil at {Quantity.Percent(wetness * 100)} wetness, where 100 is drained"
                ),
                Phrase.Of($"not above {Quantity.Percent(limit * 100)} on your soil"),
                Forbidden(year, LawKind.SaturatedGround)
            )
            : null;
    }

    private static Finding? Storm(LawnYear year) =>
        year.Weather.Hazards.FirstOrDefault(h =>
            h.Event.Contains("Flood", StringComparison.OrdinalIgnoreCase)
            || h.Event.Contains("Hurricane", StringComparison.OrdinalIgnoreCase)
            || h.Event.Contains("Tropical Storm", StringComparison.OrdinalIgnoreCase)
        )
            is { } hazard
            ? Made(
                Phrase.Of($"A {hazard.Event} is in force: fertilizer would end in the flood."),
                Phrase.Of($"{hazard.Event}"),
                Phrase.Of($"none while flood or tropical storm warnings are in force"),
                "county ordinances of Florida, for example Islamorada"
            )
            : null;

    private static Finding? HeavyRain(LawnYear year, RainToCome rain) =>
        rain.Heavy
            ? Made(
                Phrase.Of(
                    $"Heavy rain is likely within two days and would wash it off: wait until it is over."
                ),
                double.IsNaN(rain.ChancePercent)
                    ? Phrase.Of($"{Quantity.WaterMm(rain.HeaviestMm)} in a day expected")
                    : Phrase.Of(
                        $"{Quantity.WaterMm(rain.HeaviestMm)} in a day expected, chance {Quantity.Percent(rain.ChancePercent)}"
                    ),
                Phrase.Of(
                    $"none before {Quantity.WaterMm(RainToCome.HeavyMm)} or more in a day (judgement)"
                ),
                Forbidden(year, LawKind.HeavyRain)
            )
            : null;

    private static Finding? Thirsty(LawnYear year, Grass grass)
    {
        var water = At(year, year.Site.AvailableWaterFraction);
        var factor = LeafGrowth.WaterFactor(grass, water);
        return factor < DroughtStressRule.TooDry
            ? Made(
                Phrase.Of(
                    $"The {grass.Name} is short of water, and fertilizer salts would dry it further: water first, feed when it stands up again."
                ),
                Phrase.Of($"{Quantity.Percent(water * 100)} of the root zone's water is left"),
                Phrase.Of(
                    $"not below {Quantity.Percent((1 - grass.WaterStressDepletion.Value) * DroughtStressRule.TooDry * 100)}"
                ),
                "stress by FAO-56 (Allen et al. 1998); not feeding in drought: " + Practice
            )
            : null;
    }

    private static Finding? Heat(LawnYear year, Grass grass)
    {
        var air = year.Site.Weather[WeatherColumn.AirTemperatureC];
        var first = Math.Max(0, year.Site.IndexOf(year.Now));
        var hottest = double.NaN;
        for (var i = first; i < Math.Min(first + HeatHours, year.Site.Count); i++)
        {
            hottest =
                hottest >= air[i] ? hottest
                : double.IsNaN(air[i]) ? hottest
                : air[i];
        }

        var limit = grass.Season == GrassSeason.Cool ? CoolHeatC : WarmHeatC;
        return hottest >= limit
            ? Made(
                Phrase.Of(
                    $"It is too hot for feeding {grass.Name}: the salts burn it and it has no use for the growth. Wait for cooler days."
                ),
                Phrase.Of($"up to {Quantity.TemperatureC(hottest)} in the next three days"),
                Phrase.Of($"not at {Quantity.TemperatureC(limit)} or more"),
                Practice + "; the limits are judgement"
            )
            : null;
    }

    private static FertilizerLaw Law(LawnYear year) =>
        FertilizerLaw.For(year.Lawn.Place.State, year.Date);

    private static string Forbidden(LawnYear year, LawKind kind) =>
        Law(year) is var law && law.Rule(kind) is { } rule
            ? $"{Practice}; also {law.Name} law: {rule.Text} ({rule.Source})"
            : Practice + "; several states forbid it by law";

    private static double At(LawnYear year, double[] column)
    {
        var i = year.Site.IndexOf(year.Now);
        return i >= 0 && i < column.Length ? column[i] : double.NaN;
    }

    private static Finding Made(Phrase text, Phrase evidence, Phrase threshold, string source) =>
        new(FeedingTask.Id, AdviceWeight.Blocks, text, evidence, threshold, source);

    private static Quantity Rate(double gM2) => new(QuantityKind.AreaRate, gM2);
}
