using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>The week's work with seed: sowing in its window, watering what was sown, mending dog spots.</summary>
public static class SeedTask
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "seed";

    /// <summary>Days after the last usual day of coming up on which seed is given up; judgement.</summary>
    public const int LateDays = 7;

    /// <summary>A soil this far below the best temperature makes seed slow [K]; judgement.</summary>
    public const double SlowK = 5;

    /// <summary>The tasks.</summary>
    public static IEnumerable<LawnTask> Of(LawnYear year, ImmutableArray<SeasonWindow> windows)
    {
        var sown = Watering(year);
        if (sown is not null)
        {
            yield return sown;
        }

        var open = windows.FirstOrDefault(w =>
            w.Standing is WindowStanding.Open or WindowStanding.ClosingSoon
            && w.Kind is WindowKind.Overseed or WindowKind.CoolSeasonSeeding
        );
        if (open is null)
        {
            yield break;
        }

        if (sown is null)
        {
            yield return Sow(year, open);
        }

        if (year.Lawn.Pets)
        {
            yield return new(
                Phrase.Of($"Mend the dog spots"),
                PetSpots.Steps(year.Lawn, open.Grass),
                open.Grass == year.Lawn.Grass
                    ? SeedAmounts.Phrases(year.Lawn, open.Grass, SeedPurpose.BareSpots)
                    : [],
                Found(
                    Phrase.Of($"Seed comes up now, so dead centres can be sown."),
                    Phrase.Of($"dogs use the lawn"),
                    Phrase.Of($"the seeding window is open"),
                    PetSpots.Source
                ),
                []
            );
        }
    }

    private static LawnTask Sow(LawnYear year, SeasonWindow window)
    {
        var grass = Grasses.Of(window.Grass);
        var rain = RainToCome.Of(year);
        if (rain.Washing)
        {
            return new(
                Phrase.Of($"Wait with sowing the {grass.Name}"),
                [],
                [],
                new(
                    Id,
                    AdviceWeight.Blocks,
                    Phrase.Of($"Rain that would wash the seed together is likely: sow after it."),
                    Phrase.Of($"{Quantity.WaterMm(rain.HeaviestMm)} in a day expected"),
                    Phrase.Of(
                        $"not before {Quantity.WaterMm(RainToCome.WashingMm)} or more in a day"
                    ),
                    "judgement, no source"
                ),
                []
            );
        }

        var purpose =
            window.Kind == WindowKind.Overseed ? SeedPurpose.WinterOverseed : SeedPurpose.ThinLawn;
        var plan = SeedWatering.Of(grass, year.Date, Et0Mm(year));
        return new(
            Phrase.Of($"Sow the {grass.Name}"),
            [
                .. window.Steps.IsEmpty
                    ? [Phrase.Of($"Mow low and rake, so that the seed falls on soil; then sow.")]
                    : window.Steps.Where(s => s != SeedWatering.InShort),
                plan.Steps[0],
            ],
            window.Amounts.IsEmpty
                ? SeedAmounts.Phrases(year.Lawn, window.Grass, purpose)
                : window.Amounts,
            window.Why.FirstOrDefault()
                ?? Found(
                    Phrase.Of($"Its window is open."),
                    Phrase.Of($"today is {year.Date}"),
                    Phrase.Of($"the window of the season"),
                    grass.Germination!.Source
                ),
            window.Cautions.IsEmpty
                ?
                [
                    Phrase.Of(
                        $"What was put down against germinating weeds stops grass seed too: its label says how long to wait."
                    ),
                    Phrase.Of(
                        $"Local watering rules come first: some towns allow new seed more days."
                    ),
                ]
                : window.Cautions
        )
        {
            Offer = Offers.Of(year.Lawn, window, year.Date),
        };
    }

    // The last sowing on record that is not up yet, or came up a short while ago.
    private static LawnTask? Watering(LawnYear year)
    {
        if (year.Record.Last(JournalKind.Seeded, year.Date) is not { } entry)
        {
            return null;
        }

        var grass = Grasses.Of(entry.Grass ?? year.Lawn.Overseed ?? year.Lawn.Grass);
        if (grass.Germination is not { } up)
        {
            return null;
        }

        var came =
            year.Record.Last(JournalKind.Germinated, year.Date) is { } seen
            && seen.Date >= entry.Date
                ? seen.Date
                : (LocalDate?)null;
        if (came is { } since)
        {
            return Period.DaysBetween(since, year.Date) <= SeedWatering.SeedlingDays
                ? Seedlings(grass, since)
                : null;
        }

        var days = Period.DaysBetween(entry.Date, year.Date);
        return days <= up.DaysMax + LateDays ? Moist(year, grass, up, entry.Date, days)
            : days <= up.DaysMax + (3 * LateDays) ? Late(year, grass, up, entry.Date)
            : null;
    }

    private static LawnTask Moist(
        LawnYear year,
        Grass grass,
        Germination up,
        LocalDate sown,
        int days
    )
    {
        var plan = SeedWatering.Of(grass, sown, Et0Mm(year));
        var steps = plan.Steps;
        var soilC = NitrogenGiven.SoilBefore(year.Outlook.Past, year.Date);
        var bestC = ((2 * up.LowC) + up.HighC) / 3;
        if (soilC < bestC - SlowK)
        {
            steps = steps.Add(
                Phrase.Of(
                    $"The soil is {Quantity.TemperatureC(soilC.Value)}, cooler than seed likes best ({Quantity.TemperatureC(bestC)}): expect the later days."
                )
            );
        }

        return new(
            Phrase.Of($"Keep the {grass.Name} seed moist"),
            steps,
            [],
            Found(
                Phrase.Of($"Seed that dries once it has swollen is dead."),
                Phrase.Of($"sown on {sown}, day {days}"),
                Phrase.Of($"up after {up.DaysMin} to {up.DaysMax} days"),
                up.Source
            ),
            [Phrase.Of($"No feet, wheels or dogs on it. Local watering rules come first.")]
        );
    }

    private static LawnTask Seedlings(Grass grass, LocalDate since) =>
        new(
            Phrase.Of($"Water the {grass.Name} seedlings"),
            [
                Phrase.Of(
                    $"Once a day {Quantity.WaterMm(SeedWatering.SeedlingMm)}, in the morning, until about {since.PlusDays(SeedWatering.SeedlingDays)}; then deeper and less often."
                ),
                Phrase.Of($"Leave out what rain has done, and nights that freeze."),
            ],
            [],
            Found(
                Phrase.Of($"The roots are still in the top inch."),
                Phrase.Of($"seen up on {since}"),
                Phrase.Of($"about {SeedWatering.SeedlingDays} days"),
                "common practice, no source"
            ),
            []
        );

    private static LawnTask Late(LawnYear year, Grass grass, Germination up, LocalDate sown) =>
        new(
            Phrase.Of($"Look whether the {grass.Name} has come up"),
            [
                Phrase.Of($"If it is up, write it into the journal, so that we know."),
                Phrase.Of(
                    $"Where it is thin, scratch the soil open and sow again while the window is open."
                ),
                Phrase.Of(
                    $"If nothing came at all, think of old seed, of what was put down against weeds, and of days on which it dried."
                ),
            ],
            grass.Kind == year.Lawn.Grass
                ? SeedAmounts.Phrases(year.Lawn, grass.Kind, SeedPurpose.BareSpots)
                :
                [
                    .. SeedAmounts
                        .Phrases(year.Lawn, grass.Kind, SeedPurpose.WinterOverseed)
                        .Take(1),
                ],
            Found(
                Phrase.Of($"It should be up by now."),
                Phrase.Of($"sown on {sown}"),
                Phrase.Of($"up after {up.DaysMin} to {up.DaysMax} days"),
                up.Source
            ),
            []
        );

    // The next three days by the forecast, or else the last three.
    private static double Et0Mm(LawnYear year)
    {
        const int span = 3;
        var days = new WeekDays(year);
        var coming = days.Mean(d => d.Et0Mm, year.Date.PlusDays(span - 1), span);
        return double.IsNaN(coming)
            ? days.Mean(d => d.Et0Mm, year.Date.PlusDays(-1), span)
            : coming;
    }

    private static Finding Found(Phrase text, Phrase evidence, Phrase threshold, string source) =>
        new(Id, AdviceWeight.Supports, text, evidence, threshold, source);
}
