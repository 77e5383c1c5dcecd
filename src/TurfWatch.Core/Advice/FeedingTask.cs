using System.Collections.Immutable;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>The week's feeding: one task for each grass whose feeding window is open, or the reason why not.</summary>
public static class FeedingTask
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "feeding";

    /// <summary>Water that takes fertilizer off the leaves and into the soil [mm]: a quarter inch; common practice.</summary>
    public const double WaterInMm = 6.35;

    /// <summary>The tasks; none when no feeding window is open.</summary>
    public static IEnumerable<LawnTask> Of(LawnYear year, ImmutableArray<SeasonWindow> windows)
    {
        var rain = RainToCome.Of(year);
        var given = NitrogenGiven
            .Of(year.Lawn, year.Record, year.Date, year.Outlook.Past)
            .ToDictionary(g => g.Grass);
        var open = windows
            .Where(w =>
                w.Standing is WindowStanding.Open or WindowStanding.ClosingSoon
                && FeedPlan.Windows.Contains(w.Kind)
            )
            .GroupBy(w => w.Grass);
        foreach (var windowsOfGrass in open)
        {
            var window = windowsOfGrass.MinBy(w => FeedPlan.Windows.ToList().IndexOf(w.Kind))!;
            if (given.TryGetValue(window.Grass, out var had))
            {
                var grass = Grasses.Of(window.Grass);
                yield return FeedHold.On(year, grass, had, rain) is { } hold
                    ? new(Phrase.Of($"Wait with feeding the {grass.Name}"), [], [], hold, [])
                    : Feed(year, window, grass, had, rain);
            }
        }
    }

    /// <summary>Whether a window is a feeding of which word waits today.</summary>
    public static bool Waits(LawnYear year, SeasonWindow window) =>
        FeedPlan.Windows.Contains(window.Kind)
        && NitrogenGiven
            .Of(year.Lawn, year.Record, year.Date, year.Outlook.Past)
            .FirstOrDefault(g => g.Grass == window.Grass)
            is { } given
        && FeedHold.Silences(year, Grasses.Of(window.Grass), given, RainToCome.Of(year));

    private static LawnTask Feed(
        LawnYear year,
        SeasonWindow window,
        Grass grass,
        NitrogenGiven given,
        RainToCome rain
    )
    {
        var plan = FeedPlan.Of(year.Lawn, grass.Kind, window.Kind);
        return new(
            window.Kind == WindowKind.FinalFallFeeding
                ? Phrase.Of($"Last feeding of the {grass.Name} before winter")
                : Phrase.Of($"Feed the {grass.Name}"),
            [.. window.Steps, .. Steps(year, rain)],
            // The window knows when a feeding is to be without nitrogen.
            window.Amounts.IsEmpty
                ? FeedAmount.Phrases(
                    year.Lawn,
                    Math.Min(plan.NitrogenGM2, given.RoomGM2),
                    plan.Lean,
                    grass.Kind,
                    year.Date
                )
                : window.Amounts,
            window.Why.FirstOrDefault(w => w.Weight == AdviceWeight.Supports)
                ?? new(
                    Id,
                    AdviceWeight.Supports,
                    window.Closes?.Median is { } closes
                        ? Phrase.Of($"Its time is open, until about {closes}.")
                        : Phrase.Of($"Its time is open."),
                    Phrase.Of($"{Rate(given.NitrogenGM2)} of nitrogen given since {given.From}"),
                    Phrase.Of(
                        $"{Rate(given.Need.SeasonMinGM2)} to {Rate(given.Need.SeasonMaxGM2)} a season"
                    ),
                    plan.Source
                ),
            Cautions(year, window)
        )
        {
            Offer = Offers.Of(year.Lawn, window, year.Date),
        };
    }

    private static ImmutableArray<Phrase> Steps(LawnYear year, RainToCome rain)
    {
        var steps = ImmutableArray.CreateBuilder<Phrase>();
        steps.Add(
            rain.SoakingDay is { } day
                ? Phrase.Of(
                    $"Spread before the rain of {day}: about {Quantity.WaterMm(rain.SoakingMm)}, enough to water it in and not to wash it off."
                )
            : double.IsNaN(rain.HeaviestMm)
                ? Phrase.Of(
                    $"We do not know the rain to come: look at a forecast first, and do not spread before heavy rain."
                )
            : Phrase.Of($"No soaking rain is in sight, so plan to water it in yourself.")
        );
        steps.Add(
            Phrase.Of(
                $"Spread on dry leaves: half of the amount in one direction, half crossways, the edges first."
            )
        );
        steps.Add(
            Phrase.Of($"Sweep what fell on paving back onto the grass; keep it out of drains.")
        );
        if (rain.SoakingDay is null)
        {
            steps.Add(
                year.Lawn.WaterDays.IsEmpty
                    ? Phrase.Of(
                        $"Water it in the same day with {Quantity.WaterMm(WaterInMm)}, unless the label says otherwise."
                    )
                    : Phrase.Of(
                        $"Choose one of your watering days, and water it in with {Quantity.WaterMm(WaterInMm)} the same day, unless the label says otherwise."
                    )
            );
        }

        return steps.ToImmutable();
    }

    private static ImmutableArray<Phrase> Cautions(LawnYear year, SeasonWindow window)
    {
        var said = ImmutableArray.CreateBuilder<Phrase>();
        said.Add(Phrase.Of($"Fertilizer is salt: too much, or left on the leaves in heat, burns."));
        if (window.Cautions.IsEmpty)
        {
            said.Add(
                Phrase.Of(
                    $"The product's label has the last word, on the rate too. Gloves and closed shoes; children and pets off until it is watered in and dry."
                )
            );
            said.Add(FertilizerLaw.For(year.Lawn.Place.State, year.Date).LookUp);
        }

        said.AddRange(window.Cautions);
        if (year.Lawn.Pets)
        {
            said.Add(PetSpots.DoNotFeed);
        }

        return said.ToImmutable();
    }

    private static Quantity Rate(double gM2) => new(QuantityKind.AreaRate, gM2);
}
