using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The late-fall feeding of a cool-season lawn: when it has stopped growing but is still green.</summary>
/// <remarks>
/// Purdue: 0.5 to 1.0 lb quick-release near or after the last mowing while still green, first weeks of November; K-State:
/// November, 1 lb quick-release. Some programs now advise less, as uptake falls in the cold (from memory, unverified): the lower
/// end is taken. It opens when the ten-day mean of the air has brought growth potential below 0.2 on the cold side (our
/// reading of "last mowing"; judgement) and closes when shoots cease, soil at 40 °F.
/// </remarks>
internal static class LateFallFeeding
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "late-fall-feeding";

    /// <summary>Growth potential below which mowing is about over; judgement.</summary>
    public const double GrowthOver = 0.2;

    private const int MeanDays = 10;

    private static readonly AnnualDate From = new(10, 1);
    private static readonly AnnualDate Until = new(12, 31);

    /// <summary>Judges it; null for a warm-season base.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        if (grass.Season != GrassSeason.Cool)
        {
            return null;
        }

        var season = Season.At(year.Date, From, Until);
        var opens = FirstDay.Of(
            year.Outlook,
            season.From,
            season.Until,
            (course, i) => GrowthIsOver(grass, course, i)
        );
        var closes = Marks.SoilBelow(year, season, grass.DormancySoilC.Value);
        return new Feeding
        {
            Kind = WindowKind.LateFallFeeding,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Late-fall feeding of the {grass.Name}"),
            Opens = opens,
            Closes = closes.NoLaterThan(season.Until),
            Steps =
            [
                Phrase.Of(
                    $"About the last mowing, while the {grass.Name} is still green: a light feeding of quick nitrogen."
                ),
                Phrase.Of($"Leave it out if the lawn is brown, or the ground frozen or soaked."),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    Phrase.Of(
                        $"Growth has nearly stopped, but green leaves and roots still take nitrogen up for spring. Some advise less of it late, as uptake falls in the cold, so we take the lower end."
                    ),
                    Told.Dates(opens),
                    Phrase.Of(
                        $"growth potential below {Quantity.Percent(GrowthOver * 100)} over ten days, until the soil at {Told.Depth(year)} is below {Quantity.TemperatureC(grass.DormancySoilC.Value)}"
                    ),
                    "Purdue: 0.5-1.0 lb near the last mowing, first weeks of November; K-State: November; less of it late: from memory, unverified; the growth limit is judgement"
                ),
            ],
        }.Window(year);
    }

    private static bool GrowthIsOver(Grass grass, SiteDays course, int index)
    {
        var mean = Course.Mean(course.AirMeanC, index, MeanDays);
        return mean < grass.GrowthOptimumC.Value && GrowthPotential.Of(grass, mean) < GrowthOver;
    }
}
