using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Sowing winter rye over a warm-season lawn.</summary>
/// <remarks>
/// Opens as the five-day mean of the soil at 10 cm falls below 75 °F, best from 74 to 65 °F, closing soon below 60 °F or
/// two weeks before the day of the usual first freeze, closed at 50 °F or on that day. University of Georgia (Waltz): soil
/// at 4 in approaching 75 °F, or two to four weeks before the average first killing frost; NC State / Turf Council of NC
/// 2005: 74 °F best; University of Arizona AZ1683 (Kopec and Umeda 2015): October; Texas AgriLife (McAfee, Havlak): mid
/// October to early November, "after the first frost" – the sources disagree on the late end, and the closing limits are
/// judgement: seed comes up slowly below 50 °F and frost takes seedlings.
/// </remarks>
internal static class Overseed
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "overseed";

    /// <summary>Five-day mean of the soil below which it opens: 75 °F [°C].</summary>
    public const double OpensBelowC = Fahrenheit.F75;

    /// <summary>From here on it is best: 74 °F [°C].</summary>
    public const double BestBelowC = Fahrenheit.F74;

    /// <summary>Down to here it is best: 65 °F [°C]; judgement.</summary>
    public const double BestDownToC = Fahrenheit.F65;

    /// <summary>Below this it is closing soon: 60 °F [°C]; judgement.</summary>
    public const double ClosingBelowC = Fahrenheit.F60;

    /// <summary>Below this it is closed: 50 °F [°C]; judgement.</summary>
    public const double ClosesBelowC = Fahrenheit.F50;

    /// <summary>Days before the usual first freeze from which it is closing soon; the late end of Georgia's advice.</summary>
    public const int ClosingDaysBeforeFreeze = 14;

    private const string Source =
        "University of Georgia (Waltz): soil near 75 °F, or 2-4 weeks before the average first killing frost; NC State / Turf Council of NC 2005: 74 °F; University of Arizona AZ1683: October; Texas AgriLife: mid October to early November, even after the first frost";

    private static readonly AnnualDate From = new(8, 1);
    private static readonly AnnualDate Until = new(1, 31);

    /// <summary>Judges it; null for a lawn that is not overseeded.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        if (
            year.Lawn.Overseed is not { } rye
            || Grasses.Of(year.Lawn.Grass).Season != GrassSeason.Warm
        )
        {
            return null;
        }

        var season = SeasonOf(year.Date);
        var opens = Opens(year, season);
        var closes = Closes(year, season);
        var sown = Sown(year, season);
        var standing = sown is null
            ? Standings.Of(year, opens, closes, ClosingFrom(year, season))
            : WindowStanding.Done;
        var stopped = PreEmergent.StillInTheSoil(year, standing, opens);
        return new()
        {
            Kind = WindowKind.Overseed,
            Season = season.Year,
            Grass = rye,
            Name = Phrase.Of($"Overseed with winter rye"),
            Standing = stopped is null ? standing : WindowStanding.Withheld,
            Opens = opens,
            Best = Best(year, season),
            Closes = closes,
            Steps = stopped is null ? Steps(year, rye) : [],
            Amounts = SeedAmounts.Phrases(year.Lawn, rye, SeedPurpose.WinterOverseed),
            AdvisedGM2 = SeedAmounts.Rate(rye, SeedPurpose.WinterOverseed)?.UsualGM2,
            Why =
            [
                .. stopped is null ? [] : new[] { PreEmergent.StopsSeed(stopped, Id) },
                .. Why(year, season, opens, sown),
                .. Told.Basis(year),
            ],
            Cautions = Cautions(year.Lawn),
            Basis = year.Outlook.Basis,
        };
    }

    /// <summary>The season of a date.</summary>
    public static Season SeasonOf(LocalDate date) => Season.At(date, From, Until);

    /// <summary>When it opens.</summary>
    public static DateSpread Opens(LawnYear year, Season season) =>
        Marks.SoilBelow(year, season, OpensBelowC);

    /// <summary>From the middle date at 74 °F to that at 65 °F, halfway between them in the middle; null when it does not get so cold.</summary>
    public static DateSpread? Best(LawnYear year, Season season) =>
        Spreads.Between(
            Marks.SoilBelow(year, season, BestBelowC).Median,
            Marks.SoilBelow(year, season, BestDownToC).Median
        );

    /// <summary>The sowing on record, if there is one in the season.</summary>
    public static JournalEntry? Sown(LawnYear year, Season season) =>
        RecordOf.Sown(
            year,
            season.From,
            season.Until,
            kind => Grasses.Of(kind).Season == GrassSeason.Cool
        );

    private static DateSpread Closes(LawnYear year, Season season)
    {
        var freeze = Marks.UsualFreeze(year, season.Year) ?? season.Until;
        var last = LocalDate.Min(freeze, season.Until);
        return FirstDay.Of(
            year.Outlook,
            season.From,
            season.Until,
            (course, i) => course.Date(i) >= last || FirstDay.SoilMeanC(course, i, 5) < ClosesBelowC
        );
    }

    private static LocalDate? ClosingFrom(LawnYear year, Season season)
    {
        var cold = Marks.SoilBelow(year, season, ClosingBelowC).Median;
        var freeze = Marks.UsualFreeze(year, season.Year)?.PlusDays(-ClosingDaysBeforeFreeze);
        return (cold, freeze) switch
        {
            ({ } a, { } b) => LocalDate.Min(a, b),
            _ => cold ?? freeze,
        };
    }

    private static ImmutableArray<Phrase> Steps(LawnYear year, GrassKind rye) =>
        [
            Phrase.Of(
                $"Mow the {Grasses.Of(year.Lawn.Grass).Name} lower than usual and take the clippings off, so that seed reaches the soil."
            ),
            Phrase.Of(
                $"Sow {Grasses.Of(rye).Name}: half of the seed one way, half across it. Use seed whose tag says no annual bluegrass."
            ),
            SeedWatering.InShort,
            Phrase.Of(
                $"Hold back nitrogen until the rye is up: it would feed the {Grasses.Of(year.Lawn.Grass).Name} against it."
            ),
            Phrase.Of($"Write the sowing in the journal: it starts the watch for germination."),
        ];

    private static IEnumerable<Finding> Why(
        LawnYear year,
        Season season,
        DateSpread opens,
        JournalEntry? sown
    )
    {
        var depth = Told.Depth(year);
        if (sown is not null)
        {
            yield return new(
                Id,
                AdviceWeight.Informs,
                Phrase.Of($"Your journal says that you sowed on {sown.Date}."),
                Phrase.Of($"sown {sown.Date}"),
                Phrase.Of($"one sowing a season"),
                "your journal"
            );
        }

        yield return opens is { Courses: > 0, Median: null }
            ? new(
                Id,
                AdviceWeight.Blocks,
                Phrase.Of(
                    $"The soil at {depth} does not fall below {Quantity.TemperatureC(OpensBelowC)} here in most years: the base grass stays green and rye has no season."
                ),
                Told.SoilAnd(year, opens),
                Phrase.Of($"soil at {depth} below {Quantity.TemperatureC(OpensBelowC)}"),
                Source
            )
            : new(
                Id,
                AdviceWeight.Supports,
                Phrase.Of(
                    $"Rye comes up and the base grass gives way as the soil at {depth} falls from {Quantity.TemperatureC(OpensBelowC)} to {Quantity.TemperatureC(BestDownToC)}: sown earlier the base grass crowds it, later frost takes it."
                ),
                Told.SoilAnd(year, opens),
                Phrase.Of(
                    $"five-day mean of the soil at {depth} below {Quantity.TemperatureC(OpensBelowC)}, best {Quantity.TemperatureC(BestBelowC)} to {Quantity.TemperatureC(BestDownToC)}"
                ),
                Source
            );
        if (Marks.UsualFreeze(year, season.Year) is { } freeze)
        {
            yield return new(
                Id,
                AdviceWeight.Informs,
                Phrase.Of(
                    $"Half of the past winters here had a freeze by {freeze}; Georgia's advice is to sow two to four weeks before it, a Texas text even after it. From two weeks before it on we say that the window is closing; on that day it is closed."
                ),
                Phrase.Of(
                    $"two to four weeks before it: {freeze.PlusDays(-28)} to {freeze.PlusDays(-14)}"
                ),
                Phrase.Of(
                    $"closed on the day of the usual first freeze or with soil below {Quantity.TemperatureC(ClosesBelowC)}"
                ),
                "University of Georgia (Waltz); Texas AgriLife (McAfee, Havlak); the closing limits are judgement"
            );
        }
    }

    private static ImmutableArray<Phrase> Cautions(Lawn lawn)
    {
        var said = ImmutableArray.CreateBuilder<Phrase>();
        said.Add(
            Phrase.Of(
                $"A pre-emergent put down in the last 90 days can stop the rye too: its label says how long to wait. Overseed or use one this fall, never both."
            )
        );
        if (lawn.Grass is not (GrassKind.Bermuda or GrassKind.HybridBermuda))
        {
            said.Add(
                Phrase.Of(
                    $"Overseeding is advised for bermudagrass. Arizona and Texas advise against it on zoysiagrass or St. Augustinegrass, North Carolina warns that it can kill a base of centipedegrass or St. Augustinegrass."
                )
            );
        }

        said.Add(
            Phrase.Of(
                $"Local water rules come first: some towns limit watering of new winter lawns."
            )
        );
        return said.ToImmutable();
    }
}
