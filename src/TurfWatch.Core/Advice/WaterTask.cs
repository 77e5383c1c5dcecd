using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Physics;

namespace TurfWatch.Core.Advice;

/// <summary>Whether, how much and on which days to water in the week that comes.</summary>
public static class WaterTask
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "water-need";

    /// <summary>Air from which cool-season grass may be cooled at midday: 90 °F [°C]; common practice.</summary>
    public const double HotC = (90 - 32) / 1.8;

    private const int SeedDays = 28;

    // After this it is too late to have watered by dawn.
    private const double WorthTellingMm = 0.5;

    private static readonly LocalTime LastStart = new(6, 0);

    private const string Source =
        "root-zone balance: FAO-56 (Allen et al. 1998) ch. 8; crop coefficients: University of California (Meyer et al. 1985), a fifth more or less; root depth 20 cm and waiting for rain from 60 % are judgement";

    private static readonly Phrase RestrictionsFirst = Phrase.Of(
        $"Local watering restrictions come first, whatever this says."
    );

    /// <summary>The task; none when the grass rests, or when nobody waters and nothing is short.</summary>
    public static IEnumerable<LawnTask> Of(LawnYear year)
    {
        var plan = WaterPlan.Of(year, FirstMorning(year));
        if (
            plan.Water.Growing.Canopy == CanopyState.Dormant
            || plan.Days.All(d => double.IsNaN(d.DemandMm))
            || (double.IsNaN(plan.Water.NowMm) && !plan.Water.Unwritten)
        )
        {
            yield break;
        }

        var waters =
            year.Lawn.Irrigated
            || year.Lawn.SprinklerMmH is not null
            || year.Record.Entries.Any(e => e.Kind == JournalKind.Watered);
        if (!waters)
        {
            if (Drought(year, plan) is { } drought)
            {
                yield return drought;
            }

            yield break;
        }

        yield return plan.Waterings.IsEmpty ? Leave(year, plan) : Water(year, plan);
    }

    private static LocalDate FirstMorning(LawnYear year)
    {
        var local = year.Now.InZone(year.Lawn.Place.Zone);
        return local.Date < year.Date || local.TimeOfDay < LastStart
            ? year.Date
            : year.Date.PlusDays(1);
    }

    private static LawnTask Water(LawnYear year, WaterPlan plan)
    {
        var lawn = year.Lawn;
        var steps = ImmutableArray.CreateBuilder<Phrase>();
        foreach (var watering in plan.Waterings)
        {
            steps.Add(Step(lawn, watering));
        }

        if (lawn.SprinklerMmH is null)
        {
            steps.Add(
                Phrase.Of(
                    $"Set out straight cans to find how long your sprinklers take for that depth; tell us what they give in an hour and we reckon the minutes."
                )
            );
        }

        steps.Add(
            Phrase.Of(
                $"End by sunrise: the leaves would be wet anyway, and least is lost to sun and wind."
            )
        );
        if (plan.Water.Unwritten)
        {
            steps.Add(
                Phrase.Of(
                    $"Write down when you water and how deep: then we reckon what the soil still holds."
                )
            );
        }

        AddHeld(plan, steps);
        AddSyringing(year, plan, steps);
        return new(
            Phrase.Of($"Water {Quantity.WaterMm(plan.GiveMm)} this week"),
            steps.ToImmutable(),
            [
                plan.RainMm < WorthTellingMm
                    ? Phrase.Of(
                        $"{Quantity.WaterMm(plan.DemandMm)} is what the {plan.Water.Growing.Grass.Name} uses in {plan.Days.Length} days; no rain worth counting is in the forecast"
                    )
                    : Phrase.Of(
                        $"{Quantity.WaterMm(plan.DemandMm)} is what the {plan.Water.Growing.Grass.Name} uses in {plan.Days.Length} days; {Quantity.WaterMm(plan.RainMm)} of rain is in the forecast, {Quantity.WaterMm(plan.Days.Sum(d => d.LikelyRainMm))} of it likely enough to count on"
                    ),
            ],
            Why(
                plan,
                Phrase.Of(
                    $"Without watering the {plan.Water.Growing.Grass.Name} runs short this week."
                )
            ),
            Cautions(year)
        )
        {
            Offer = Offers.Of(plan, year.Date),
        };
    }

    private static LawnTask Leave(LawnYear year, WaterPlan plan)
    {
        var steps = ImmutableArray.CreateBuilder<Phrase>();
        AddHeld(plan, steps);
        AddSyringing(year, plan, steps);
        var rain = plan.Held.Any(h => h.Why == NoWatering.RainAhead);
        return new(
            Phrase.Of($"Leave the sprinklers off this week"),
            steps.ToImmutable(),
            [],
            Why(
                plan,
                rain ? Phrase.Of($"Likely rain is worth waiting for.")
                    : plan.Held.IsEmpty ? Phrase.Of($"The soil holds enough for the week.")
                    : Phrase.Of($"Water would be due, but no day fits.")
            ),
            Cautions(year)
        );
    }

    private static LawnTask? Drought(LawnYear year, WaterPlan plan)
    {
        // The lawn that uses least must be halfway there too: else the start of the reckoning speaks, not the weather.
        if (!(plan.Water.NowMm >= plan.EasyMm && plan.Water.NowLeastMm >= plan.EasyMm / 2))
        {
            return null;
        }

        var grass = plan.Water.Growing.Grass;
        var habit = grass.Drought;
        return new(
            habit.GoesBrown
                ? Phrase.Of($"Dry spell: let the {grass.Name} rest, or water it well")
                : Phrase.Of($"Dry spell: the {grass.Name} needs water"),
            [
                Phrase.Of($"The {grass.Name}: {habit.Text}."),
                Phrase.Of(
                    $"If you water little, {Quantity.WaterMm(habit.SurvivalMm)} every {habit.EveryDays} days keeps the crowns alive; it will not turn it green."
                ),
                Phrase.Of($"Keep mower and feet off brown grass."),
            ],
            [],
            Why(
                plan,
                Phrase.Of($"The root zone has less water than the {grass.Name} can live well on.")
            ) with
            {
                Source = $"{Source}; {habit.Source}",
            },
            Cautions(year)
        );
    }

    private static Phrase Step(Lawn lawn, Watering watering)
    {
        var depth = Quantity.WaterMm(watering.DepthMm);
        if (lawn.SprinklerMmH is not { } rate || rate is not (>= 1 and <= 200))
        {
            return Phrase.Of($"{watering.Date}: {depth}, before dawn.");
        }

        var run = WaterAmount.Run(watering.DepthMm, rate, lawn.Soil);
        var whole = run.Minutes + ((run.Cycles - 1) * run.SoakMinutes);
        var start = Start(lawn, watering.Date, whole);
        return run.Cycles == 1
            ? Phrase.Of(
                $"{watering.Date}: {depth}, {Minutes(run.Minutes)} minutes, starting by {start}."
            )
            : Phrase.Of(
                $"{watering.Date}: {depth}, in {run.Cycles} goes of {Minutes(run.MinutesEach)} minutes with {Minutes(run.SoakMinutes)} minutes between them to sink in, starting by {start}."
            );
    }

    private static int Minutes(double minutes) => (int)Math.Ceiling(minutes - 1e-9);

    // On the quarter hour; a run too long for one night begins the evening before.
    private static LocalTime Start(Lawn lawn, LocalDate date, double minutes)
    {
        var place = lawn.Place;
        var sun = Sun.ForDate(date, place.Zone, place.LatitudeDeg, place.LongitudeDeg);
        var dawn =
            sun.Sunrise ?? date.At(new LocalTime(6, 0)).InZoneLeniently(place.Zone).ToInstant();
        return Clock.Down(dawn - Duration.FromMinutes(minutes)).InZone(place.Zone).TimeOfDay;
    }

    private static void AddHeld(WaterPlan plan, ImmutableArray<Phrase>.Builder steps)
    {
        foreach (var why in plan.Held.Select(h => h.Why).Distinct())
        {
            var days = DayNames.Of(
                [.. plan.Held.Where(h => h.Why == why).Select(h => h.Date)],
                plan.Days[0].Date
            );
            steps.Add(
                why switch
                {
                    NoWatering.RainAhead => Phrase.Of(
                        $"No watering {days}: rain is likely. If it stays away, water on your next day."
                    ),
                    NoWatering.Freezing => Phrase.Of(
                        $"No watering {days}: the night is too cold, water would freeze on leaves and paths."
                    ),
                    _ => Phrase.Of($"Water would be due {days}, but you may not water then."),
                }
            );
        }
    }

    private static void AddSyringing(
        LawnYear year,
        WaterPlan plan,
        ImmutableArray<Phrase>.Builder steps
    )
    {
        var hot = plan.Days.Where(d => d.MaxC >= HotC).Select(d => d.Date).ToList();
        if (hot.Count > 0 && plan.Water.Growing.Grass.Season == GrassSeason.Cool)
        {
            steps.Add(
                Phrase.Of(
                    $"Heat {DayNames.Of(hot, year.Date)}: a few minutes of sprinkling at midday cools the {plan.Water.Growing.Grass.Name}; it is no watering, and only where the rules allow it (common practice)."
                )
            );
        }
    }

    private static Finding Why(WaterPlan plan, Phrase text) =>
        new(
            Id,
            AdviceWeight.Supports,
            text,
            double.IsNaN(plan.Water.NowMm)
                ? plan.Water.Unwritten
                    ? Phrase.Of(
                        $"no watering is written down, so we take it that you have kept up so far"
                    )
                    : Phrase.Of($"the days before are not known")
                : Phrase.Of(
                    $"{Quantity.WaterMm(plan.Water.NowMm)} missing now ({Quantity.WaterMm(plan.Water.NowLeastMm)} to {Quantity.WaterMm(plan.Water.NowMostMm)}); unwatered, {Quantity.WaterMm(plan.EndMm)} in a week ({Quantity.WaterMm(plan.EndLeastMm)} to {Quantity.WaterMm(plan.EndMostMm)})"
                ),
            Phrase.Of(
                $"short from {Quantity.WaterMm(plan.EasyMm)} missing; the root zone holds {Quantity.WaterMm(plan.Water.Zone.TotalMm)}"
            ),
            Source
        );

    private static ImmutableArray<Phrase> Cautions(LawnYear year)
    {
        var sown = year.Record.Last(JournalKind.Seeded, year.Date);
        return sown is not null && Period.DaysBetween(sown.Date, year.Date) <= SeedDays
            ?
            [
                RestrictionsFirst,
                Phrase.Of($"New seed needs the top kept moist: that goes before this plan."),
            ]
            : [RestrictionsFirst];
    }
}
