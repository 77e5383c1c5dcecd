using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>A warm-season base turns green.</summary>
/// <remarks>
/// The sources give a band: bermudagrass shows green at about 58 °F soil (NC State, G. Miller 2022), "60 to 65 °F" is
/// commonly quoted (no primary source seen), University of Florida (Cisar) says the upper 60s. It begins at the grass's own
/// figure and is well under way at 65 °F, both as five-day means of the soil at 10 cm.
/// </remarks>
internal static class GreenUp
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "green-up";

    /// <summary>Five-day mean of the soil at which it is well under way: 65 °F [°C].</summary>
    public const double UnderWayC = Fahrenheit.F65;

    /// <summary>Middle of the sources' band, 58 to 65 °F, to plan back from: 61.5 °F [°C]; judgement.</summary>
    public const double MiddleC = (61.5 - 32) / 1.8;

    private static readonly AnnualDate From = new(1, 15);
    private static readonly AnnualDate Until = new(7, 15);

    /// <summary>The spring of a date, or the next one.</summary>
    public static Season SeasonOf(LocalDate date) => Season.At(date, From, Until);

    /// <summary>The spring of a year.</summary>
    public static Season SpringOf(int year) => Season.In(year, From, Until);

    /// <summary>When it begins.</summary>
    public static DateSpread Begins(LawnYear year, Season season) =>
        Marks.SoilAbove(year, season, Grasses.Of(year.Lawn.Grass).GreenUpSoilC.Value);

    /// <summary>When it is well under way.</summary>
    public static DateSpread UnderWay(LawnYear year, Season season) =>
        Marks.SoilAbove(year, season, UnderWayC);

    /// <summary>When the soil usually is in the middle of the band, from past years alone; null when not known.</summary>
    public static LocalDate? Usual(LawnYear year, Season season) =>
        Marks.UsuallyAbove(year, season, MiddleC);

    /// <summary>Whether the soil usually gets cold enough in winter for a green-up to be one; true when not known.</summary>
    public static bool Rests(LawnYear year)
    {
        var usual = year.Outlook.UsualSoil10CmC;
        return usual.IsDefaultOrEmpty
            || usual.Any(t => t < Grasses.Of(year.Lawn.Grass).GreenUpSoilC.Value);
    }

    /// <summary>Judges it; null for a cool-season base, and where the soil stays warm all winter.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        if (grass.Season != GrassSeason.Warm || !Rests(year))
        {
            return null;
        }

        var season = SeasonOf(year.Date);
        var begins = Begins(year, season);
        var underWay = UnderWay(year, season);
        var depth = Told.Depth(year);
        return new()
        {
            Kind = WindowKind.GreenUp,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"The {grass.Name} turns green"),
            Standing = Standings.Of(year, begins, underWay),
            Opens = begins,
            Closes = underWay,
            Steps = [],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Informs,
                    Phrase.Of(
                        $"The first green shows with the soil at {depth} near {Quantity.TemperatureC(grass.GreenUpSoilC.Value)}; it is well under way at {Quantity.TemperatureC(UnderWayC)}. The sources differ between {Quantity.TemperatureC(grass.GreenUpSoilC.Value)} and the upper 60s °F, so it is a band, not a day."
                    ),
                    Told.SoilAnd(year, begins),
                    Phrase.Of(
                        $"five-day mean of the soil at {depth} from {Quantity.TemperatureC(grass.GreenUpSoilC.Value)} to {Quantity.TemperatureC(UnderWayC)}"
                    ),
                    "about 58 °F: NC State (G. Miller, 2022); 60-65 °F: commonly quoted, no primary source seen; upper 60s °F: University of Florida (Cisar)"
                ),
                .. Told.Basis(year),
            ],
            Basis = year.Outlook.Basis,
        };
    }
}
