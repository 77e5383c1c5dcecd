using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The main fall feeding of a cool-season lawn.</summary>
/// <remarks>
/// Purdue: 1.0 lb of nitrogen on 1,000 sq ft in September; K-State: September 1 to 1.5 lb; University of Arizona (Kopec 1995),
/// Flagstaff: 10 September. It opens after 20 August with soil below 75 °F (the heat is over; judgement) and closes at the usual
/// first freeze (judgement: then the late-fall feeding is next).
/// </remarks>
internal static class CoolFallFeeding
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "cool-fall-feeding";

    /// <summary>Five-day mean of the soil below which it opens: 75 °F [°C]; judgement.</summary>
    public const double OpensBelowC = Fahrenheit.F75;

    private static readonly AnnualDate From = new(8, 20);
    private static readonly AnnualDate Until = new(10, 31);

    /// <summary>Judges it; null for a warm-season base.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        if (grass.Season != GrassSeason.Cool)
        {
            return null;
        }

        var season = Season.At(year.Date, From, Until);
        var opens = Marks.SoilBelow(year, season, OpensBelowC);
        var freeze = Marks.UsualFreeze(year, season.Year) ?? season.Until;
        var last = LocalDate.Max(season.From.PlusDays(28), LocalDate.Min(freeze, season.Until));
        return new Feeding
        {
            Kind = WindowKind.CoolFallFeeding,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Main fall feeding of the {grass.Name}"),
            Opens = opens,
            Closes = DateSpread.On(last),
            Steps =
            [
                Phrase.Of(
                    $"The most important feeding of the year: it rebuilds the {grass.Name} after summer."
                ),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    Phrase.Of(
                        $"Heat is over and the {grass.Name} grows roots and shoots again; it makes the most of nitrogen in September."
                    ),
                    Told.SoilAnd(year, opens),
                    Phrase.Of(
                        $"soil at {Told.Depth(year)} below {Quantity.TemperatureC(OpensBelowC)} after August 20, until the usual first freeze"
                    ),
                    "September: Purdue (1.0 lb), K-State (1-1.5 lb), University of Arizona for Flagstaff (Kopec 1995: September 10); opening and closing are judgement"
                ),
            ],
        }.Window(year);
    }
}
