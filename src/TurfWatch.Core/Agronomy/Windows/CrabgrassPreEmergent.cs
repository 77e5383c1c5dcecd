using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Pre-emergent against crabgrass: before its seed comes up in spring.</summary>
/// <remarks>
/// Apply as the soil rises through 50 to 55 °F: University of Wisconsin / Michigan State (Calhoun 2004), University of
/// Nebraska and South Dakota State 50-55 °F, Ohio State 54 °F for seven days in the upper inch. Crabgrass comes up when
/// the day's mean at 4 in reaches 55 °F (NC State AG-763W), most of it at 60 to 70 °F (Calhoun). So it opens at a five-day
/// mean of 50 °F, is closing soon from 55 °F and closed at 60 °F; the closing is judgement.
/// </remarks>
internal static class CrabgrassPreEmergent
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "crabgrass-pre-emergent";

    /// <summary>Opens above: 50 °F [°C].</summary>
    public const double OpensAboveC = Fahrenheit.F50;

    /// <summary>Closing soon above: 55 °F, at which it comes up [°C].</summary>
    public const double ComesUpC = Fahrenheit.F55;

    /// <summary>Closed above: 60 °F [°C]; judgement.</summary>
    public const double ClosesAboveC = Fahrenheit.F60;

    /// <summary>Days after a sowing for which it is withheld: an usual label interval of about two months; common practice, the label decides.</summary>
    public const int DaysAfterSowing = 60;

    private static readonly AnnualDate From = new(1, 15);
    private static readonly AnnualDate Until = new(6, 15);

    /// <summary>Judges it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var season = Season.At(year.Date, From, Until);
        var opens = Marks.SoilAbove(year, season, OpensAboveC);
        var comesUp = Marks.SoilAbove(year, season, ComesUpC);
        var closes = Marks.SoilAbove(year, season, ClosesAboveC).NoLaterThan(season.Until);
        var done = RecordOf.Did(year, JournalKind.PreEmergent, season.From, season.Until);
        var withheld = done is null ? Withheld(year) : null;
        return new()
        {
            Kind = WindowKind.CrabgrassPreEmergent,
            Season = season.Year,
            Grass = year.Lawn.Grass,
            Name = Phrase.Of($"Pre-emergent against crabgrass"),
            Standing =
                done is not null ? WindowStanding.Done
                : withheld is null ? Standings.Of(year, opens, closes, comesUp.Median)
                : WindowStanding.Withheld,
            Opens = opens,
            Best = Spreads.Between(opens.Median, comesUp.Median),
            Closes = closes,
            Steps = withheld is null && done is null ? PreEmergent.Steps : [],
            Why =
            [
                new(
                    Id,
                    withheld is null ? AdviceWeight.Supports : AdviceWeight.Blocks,
                    withheld
                        ?? (done is null ? null : PreEmergent.PutDown(done))
                        ?? Phrase.Of(
                            $"Crabgrass comes up once the soil at {Told.Depth(year)} has reached {Quantity.TemperatureC(ComesUpC)}; a pre-emergent must be in the soil before that. It does nothing to weeds that are up."
                        ),
                    Told.SoilAnd(year, opens),
                    Phrase.Of(
                        $"five-day mean of the soil at {Told.Depth(year)} rising through {Quantity.TemperatureC(OpensAboveC)} to {Quantity.TemperatureC(ComesUpC)}"
                    ),
                    "50-55 °F: University of Wisconsin / Michigan State (Calhoun 2004), University of Nebraska, South Dakota State; 54 °F for 7 days in the upper inch: Ohio State; comes up at 55 °F: NC State AG-763W; closing at 60 °F is judgement"
                ),
                .. Told.Basis(year),
            ],
            Cautions = withheld is null
                ?
                [
                    .. PreEmergent.Cautions,
                    Phrase.Of(
                        $"Do not use one where you mean to sow this spring, or where the lawn is thin: it stops lawn seed too and holds back runners that must root."
                    ),
                ]
                : [],
            Basis = year.Outlook.Basis,
        };
    }

    private static Phrase? Withheld(LawnYear year)
    {
        if (
            RecordOf.Sown(year, year.Date.PlusDays(-DaysAfterSowing), year.Date, _ => true) is
            { } sown
        )
        {
            return Phrase.Of(
                $"You sowed on {sown.Date}: a pre-emergent would stop that seed or harm the seedlings. The label says how long to wait."
            );
        }

        var usual = year.Outlook.UsualSoil10CmC;
        return !usual.IsDefaultOrEmpty && usual.All(t => t > ComesUpC)
            ? Phrase.Of(
                $"The soil here stays above {Quantity.TemperatureC(ComesUpC)} all winter in a usual year: crabgrass has no start that soil temperature could tell. Ask your county's extension office for dates."
            )
            : null;
    }
}
