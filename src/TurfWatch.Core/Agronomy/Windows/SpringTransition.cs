using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>From winter rye back to the base grass.</summary>
/// <remarks>
/// NC State (G. Miller, 2022): lower the cut gradually several weeks ahead, raise nitrogen for the bermudagrass only as it
/// grows, with nights in the mid-60s °F. University of Arizona (Kopec 1996, 1998): cool nights at or below 60 °F keep the
/// rye until June or July even with days of 80 °F; no heavy vertical mowing before 80 % of the stand is bermudagrass. So it
/// begins when the base is well under way (65 °F soil) and ends two weeks after the ten-day mean of the nights has reached
/// 65 °F; the ten days and two weeks are judgement.
/// </remarks>
internal static class SpringTransition
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "spring-transition";

    /// <summary>Ten-day mean of the minimum above which the rye begins to lose: 60 °F [°C].</summary>
    public const double RyeLosesC = Fahrenheit.F60;

    /// <summary>Ten-day mean of the minimum above which the base grows fast: 65 °F [°C].</summary>
    public const double BaseGrowsC = Fahrenheit.F65;

    /// <summary>Nights in the mean; judgement.</summary>
    public const int Nights = 10;

    /// <summary>Days that the change takes from then on; judgement.</summary>
    public const int DaysAfter = 14;

    private static readonly AnnualDate From = new(2, 1);
    private static readonly AnnualDate Until = new(8, 15);

    /// <summary>The spring and early summer of a date, or the next one.</summary>
    public static Season SeasonOf(LocalDate date) => Season.At(date, From, Until);

    /// <summary>When the nights are warm enough for the base to grow fast.</summary>
    public static DateSpread BaseGrows(LawnYear year, Season season) =>
        Warm(year, season, BaseGrowsC);

    /// <summary>When it is over.</summary>
    public static DateSpread Closes(LawnYear year, Season season) =>
        BaseGrows(year, season).NoLaterThan(season.Until.PlusDays(-DaysAfter)).Plus(DaysAfter);

    /// <summary>Judges it; null for a lawn that is not overseeded.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        if (grass.Season != GrassSeason.Warm || year.Lawn.Overseed is not { } rye)
        {
            return null;
        }

        var season = SeasonOf(year.Date);
        var ryeName = Grasses.Of(rye).Name;
        var opens = GreenUp.UnderWay(year, GreenUp.SpringOf(season.Year));
        var closes = Closes(year, season);
        var grows = BaseGrows(year, season);
        return new()
        {
            Kind = WindowKind.SpringTransition,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"From {ryeName} back to {grass.Name}"),
            Standing = Standings.Of(year, opens, closes),
            Opens = opens,
            Best = Spreads.Between(Warm(year, season, RyeLosesC).Median, grows.Median),
            Closes = closes,
            Steps =
            [
                Phrase.Of($"No more nitrogen for the {ryeName}."),
                Phrase.Of(
                    $"Lower the cut a little at each mowing, never more than a third of the leaf, towards {Quantity.HeightCm(grass.Heights.MinCm)}: light reaches the {grass.Name}."
                ),
                Phrase.Of(
                    $"Feed the {grass.Name} only when it grows, with nights near {Quantity.TemperatureC(BaseGrowsC)}."
                ),
                Phrase.Of(
                    $"Keep watering: drying out the rye takes the young {grass.Name} with it."
                ),
                Phrase.Of(
                    $"No heavy vertical mowing before four fifths of the stand is {grass.Name}."
                ),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    Phrase.Of(
                        $"Rye holds on while nights are at or below {Quantity.TemperatureC(RyeLosesC)}, whatever the days; the {grass.Name} takes over as they reach {Quantity.TemperatureC(BaseGrowsC)}."
                    ),
                    Told.Dates(grows),
                    Phrase.Of(
                        $"begins with the soil at {Told.Depth(year)} above {Quantity.TemperatureC(GreenUp.UnderWayC)}, ends two weeks after the mean of ten nights has reached {Quantity.TemperatureC(BaseGrowsC)}"
                    ),
                    "NC State (G. Miller, 2022): lower the cut over several weeks, nights in the mid-60s °F; University of Arizona (Kopec 1996, 1998): nights at or below 60 °F keep the rye, no heavy vertical mowing before 80 % bermudagrass"
                ),
                .. Told.Basis(year),
            ],
            Cautions =
            [
                Phrase.Of(
                    $"Where the {grass.Name} is thin, expect bare patches for some weeks: rye that goes does not come back."
                ),
            ],
            Basis = year.Outlook.Basis,
        };
    }

    private static DateSpread Warm(LawnYear year, Season season, double celsius) =>
        FirstDay.Of(
            year.Outlook,
            season.From,
            season.Until,
            (course, i) => Course.Mean(course.AirMinC, i, Nights) >= celsius
        );
}
