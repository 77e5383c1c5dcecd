using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Dethatching, only while the grass grows fast.</summary>
/// <remarks>
/// K-State (Upham 2013): bermudagrass and zoysiagrass with more than half an inch of thatch from mid June to the end of July.
/// University of Arizona (Kopec): on an overseeded lawn no heavy vertical mowing before 80 % of the stand is bermudagrass.
/// Cool-season lawns: late summer and early fall, with four weeks of growth before the usual first freeze (common practice,
/// no source). Not on St. Augustinegrass or centipedegrass: their runners lie on the ground (common practice, no source).
/// </remarks>
internal static class Dethatching
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "dethatching";

    private const string Source =
        "K-State (Upham, 2013): bermudagrass and zoysiagrass from mid June to the end of July, with more than half an inch of thatch; University of Arizona (Kopec): not before 80 % bermudagrass; cool-season dates are common practice, no source";

    private static readonly AnnualDate From = new(2, 1);
    private static readonly AnnualDate Until = new(7, 31);

    /// <summary>Judges it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        var warm = grass.Season == GrassSeason.Warm;
        var season = warm
            ? Season.At(year.Date, From, Until)
            : CoolSeasonSeeding.SeasonOf(year.Date);
        var opens = warm
            ? CoreAeration.WarmOpens(year, season)
            : CoolSeasonSeeding.Opens(year, season);
        var freeze = warm ? null : Marks.UsualFreeze(year, season.Year);
        var closes = CoreAeration.BeforeSeedlings(
            year,
            season,
            LocalDate.Min(
                freeze?.PlusDays(-CoreAeration.CoolDaysBeforeFreeze) ?? season.Until,
                season.Until
            )
        );
        var runners = grass.Kind is GrassKind.StAugustine or GrassKind.Centipede;
        var done = RecordOf.Did(year, JournalKind.Dethatched, season.From, season.Until);
        return new()
        {
            Kind = WindowKind.Dethatching,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Dethatch the {grass.Name}"),
            Standing =
                done is not null ? WindowStanding.Done
                : runners ? WindowStanding.Withheld
                : Standings.Of(year, opens, closes),
            Opens = opens,
            Closes = closes,
            Steps = runners
                ? []
                :
                [
                    Phrase.Of(
                        $"Cut out a wedge and measure: with less than {Quantity.HeightCm(1.27)} of thatch there is nothing to do."
                    ),
                    Phrase.Of(
                        $"Set the blades so that they reach the thatch and no deeper, rake up what comes out, then water."
                    ),
                ],
            Why =
            [
                new(
                    Id,
                    runners ? AdviceWeight.Blocks : AdviceWeight.Supports,
                    runners
                            ? Phrase.Of(
                                $"Not on {grass.Name}: its runners lie on the ground, and the blades take them out with the thatch."
                            )
                        : done is not null
                            ? Phrase.Of($"Your journal says that you dethatched on {done.Date}.")
                        : Phrase.Of(
                            $"It tears the lawn open, so it wants weeks of fast growth after it."
                        ),
                    Told.Dates(opens),
                    warm
                        ? Phrase.Of(
                            $"from when it grows fast until the end of July; more than {Quantity.HeightCm(1.27)} of thatch"
                        )
                        : Phrase.Of(
                            $"late summer, until {CoreAeration.CoolDaysBeforeFreeze} days before the usual first freeze; more than {Quantity.HeightCm(1.27)} of thatch"
                        ),
                    runners ? "common practice, no source" : Source
                ),
                .. Told.Basis(year),
            ],
            Cautions = runners ? [] : CoreAeration.Tines,
            Basis = year.Outlook.Basis,
        };
    }
}
