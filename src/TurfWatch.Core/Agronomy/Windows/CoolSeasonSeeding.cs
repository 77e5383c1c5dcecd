using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Sowing cool-season grass into a cool-season lawn in late summer.</summary>
/// <remarks>
/// NC State / Turf Council of NC 2005: 70 °F soil at 4 in for planting in late summer; roots grow best at 50 to 65 °F and
/// stop at 77 °F. It opens below 75 °F, is best from 70 to 60 °F, and closes when seed sown that day would not be up by
/// the usual first freeze (the grass's longest germination), or with soil below 50 °F; not before 10 August. The limits beside 70 °F are judgement.
/// </remarks>
internal static class CoolSeasonSeeding
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "cool-season-seeding";

    /// <summary>Opens below: 75 °F [°C]; judgement.</summary>
    public const double OpensBelowC = Fahrenheit.F75;

    /// <summary>Best below: 70 °F [°C].</summary>
    public const double BestBelowC = Fahrenheit.F70;

    /// <summary>Best down to: 60 °F [°C]; judgement.</summary>
    public const double BestDownToC = Fahrenheit.F60;

    /// <summary>Closed below: 50 °F [°C]; judgement.</summary>
    public const double ClosesBelowC = Fahrenheit.F50;

    private static readonly AnnualDate From = new(8, 10);
    private static readonly AnnualDate Until = new(11, 30);

    /// <summary>The late summer and fall of a date, or the next.</summary>
    public static Season SeasonOf(LocalDate date) => Season.At(date, From, Until);

    /// <summary>When it opens.</summary>
    public static DateSpread Opens(LawnYear year, Season season) =>
        Marks.SoilBelow(year, season, OpensBelowC);

    /// <summary>Judges it; null for a warm-season base.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        if (grass.Season != GrassSeason.Cool || grass.Germination is not { } germination)
        {
            return null;
        }

        var season = SeasonOf(year.Date);
        var opens = Opens(year, season);
        var freeze = Marks.UsualFreeze(year, season.Year);
        var last = LocalDate.Min(
            freeze?.PlusDays(-germination.DaysMax) ?? season.Until,
            season.Until
        );
        var closes = FirstDay.Of(
            year.Outlook,
            season.From,
            season.Until,
            (course, i) => course.Date(i) >= last || FirstDay.SoilMeanC(course, i, 5) < ClosesBelowC
        );
        var until = Marks.SoilBelow(year, season, BestDownToC).Median;
        var sown = RecordOf.Sown(year, season.From, season.Until, _ => true);
        var standing = sown is null ? Standings.Of(year, opens, closes) : WindowStanding.Done;
        var stopped = PreEmergent.StillInTheSoil(year, standing, opens);
        return new()
        {
            Kind = WindowKind.CoolSeasonSeeding,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Sow {grass.Name} into thin places"),
            Standing = stopped is null ? standing : WindowStanding.Withheld,
            Opens = opens,
            Best = Spreads.Between(
                Marks.SoilBelow(year, season, BestBelowC).Median,
                until < last ? until : last
            ),
            Closes = closes,
            Steps = stopped is not null
                ? []
                :
                [
                    Phrase.Of($"Only where the lawn is thin or bare: a dense one needs no seed."),
                    Phrase.Of(
                        $"Rake or core the ground so that seed touches soil, sow half each way."
                    ),
                    SeedWatering.InShort,
                    Phrase.Of(
                        $"Write the sowing in the journal: it starts the watch for germination."
                    ),
                ],
            Amounts = SeedAmounts.Phrases(year.Lawn, grass.Kind, SeedPurpose.ThinLawn),
            AdvisedGM2 = SeedAmounts.Rate(grass.Kind, SeedPurpose.ThinLawn)?.UsualGM2,
            Why =
            [
                .. stopped is null ? [] : new[] { PreEmergent.StopsSeed(stopped, Id) },
                new(
                    Id,
                    AdviceWeight.Supports,
                    sown is null
                        ? Phrase.Of(
                            $"The soil is warm enough to bring seed up fast and the heat that kills seedlings is over; they must be up before the first freeze."
                        )
                        : Phrase.Of($"Your journal says that you sowed on {sown.Date}."),
                    Told.SoilAnd(year, opens),
                    freeze is { } date
                        ? Phrase.Of(
                            $"soil at {Told.Depth(year)} below {Quantity.TemperatureC(OpensBelowC)}, best {Quantity.TemperatureC(BestBelowC)} to {Quantity.TemperatureC(BestDownToC)}; {germination.DaysMax} days to come up before the usual first freeze, {date}"
                        )
                        : Phrase.Of(
                            $"soil at {Told.Depth(year)} below {Quantity.TemperatureC(OpensBelowC)}, best {Quantity.TemperatureC(BestBelowC)} to {Quantity.TemperatureC(BestDownToC)}"
                        ),
                    "NC State / Turf Council of NC 2005: 70 °F soil at 4 in for late-summer planting; days to come up: "
                        + germination.Source
                        + "; the other limits are judgement"
                ),
                .. Told.Basis(year),
            ],
            Cautions = Cautions,
            Basis = year.Outlook.Basis,
        };
    }

    private static ImmutableArray<Phrase> Cautions { get; } =
    [
        Phrase.Of(
            $"Sow or use a pre-emergent this fall, never both; one put down in the last 90 days can still stop seed: its label says how long."
        ),
        Phrase.Of($"Local water rules come first."),
    ];
}
