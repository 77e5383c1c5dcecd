using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>
/// Dates that several windows hang on. What is "usual" comes from past years alone and does not move from day to day,
/// so that a window reckoned back from it cannot open, shut and open again; what has "come" is spread over the courses.
/// </summary>
internal static class Marks
{
    /// <summary>
    /// A level counts as crossed at the earliest this many days before the usual date [days]; judgement: a warm week in
    /// January is no spring, a cool one in August no fall.
    /// </summary>
    public const int EarlyDays = 28;

    // Fewer cold seasons than these give no median worth the name (as in FreezeFacts).
    private const int FewestColdSeasons = 9;

    // A crossing within these days of the first known one has happened unseen: a five-day mean needs them.
    private const int BlindDays = 5;

    /// <summary>
    /// The day before which half of the past cold seasons had their first freeze (32 °F at screen height; NWS and NCEI
    /// "50 %" date); from the courses when the past seasons are not known; null when half or more have none.
    /// </summary>
    /// <param name="year">The lawn's year.</param>
    /// <param name="fall">The year of the fall.</param>
    public static LocalDate? UsualFreeze(LawnYear year, int fall)
    {
        if (year.Weather.Climate is { } climate && climate.ColdSeasons.Count >= FewestColdSeasons)
        {
            return Core.UsualFreeze.First(climate).Median?.In(fall);
        }

        return FirstFreeze.Comes(year, FirstFreeze.SeasonOf(fall)).Median;
    }

    /// <summary>The first day of a season on which the soil at 10 cm is usually colder than a temperature; null when not known or it is not.</summary>
    public static LocalDate? UsuallyBelow(LawnYear year, Season season, double celsius) =>
        Usually(year, season, usual => usual < celsius);

    /// <summary>The first day of a season on which the soil at 10 cm is usually warmer than a temperature.</summary>
    public static LocalDate? UsuallyAbove(LawnYear year, Season season, double celsius) =>
        Usually(year, season, usual => usual > celsius);

    /// <summary>When the five-day mean of the soil at 10 cm first falls below a temperature in a season.</summary>
    public static DateSpread SoilBelow(LawnYear year, Season season, double celsius)
    {
        var usual = UsuallyBelow(year, season, celsius);
        var from = From(season, usual);
        return Seen(
            year,
            from,
            usual,
            FirstDay.SoilMeanBelow(year.Outlook, from, season.Until, celsius)
        );
    }

    /// <summary>When the five-day mean of the soil at 10 cm first rises above a temperature in a season.</summary>
    public static DateSpread SoilAbove(LawnYear year, Season season, double celsius)
    {
        var usual = UsuallyAbove(year, season, celsius);
        var from = From(season, usual);
        return Seen(
            year,
            from,
            usual,
            FirstDay.SoilMeanAbove(year.Outlook, from, season.Until, celsius)
        );
    }

    /// <summary>The five-day mean of the soil at 10 cm up to yesterday [°C]; NaN when not known.</summary>
    public static double SoilNowC(LawnYear year)
    {
        var past = year.Outlook.Past;
        return FirstDay.SoilMeanC(past, past.Count - 1, 5);
    }

    private static LocalDate From(Season season, LocalDate? usual) =>
        usual is { } date ? LocalDate.Max(season.From, date.PlusDays(-EarlyDays)) : season.From;

    // Where the days known begin after the crossing, the usual date stands for it.
    private static DateSpread Seen(
        LawnYear year,
        LocalDate from,
        LocalDate? usual,
        DateSpread found
    )
    {
        if (found.Median is not { } date || usual is not { } known)
        {
            return found;
        }

        var seenFrom = FirstKnown(year.Outlook);
        return seenFrom > from && date <= seenFrom.PlusDays(BlindDays) && known < seenFrom
            ? DateSpread.On(known)
            : found;
    }

    private static LocalDate FirstKnown(SeasonOutlook outlook)
    {
        var past = outlook.Past;
        var index = Array.FindIndex(past.Soil10CmC, t => !double.IsNaN(t));
        return index < 0 ? outlook.Today : past.Date(index);
    }

    private static LocalDate? Usually(LawnYear year, Season season, Func<double, bool> holds)
    {
        var usual = year.Outlook.UsualSoil10CmC;
        if (usual.IsDefaultOrEmpty)
        {
            return null;
        }

        for (var day = season.From; day <= season.Until; day = day.PlusDays(1))
        {
            if (holds(usual[PlaceClimate.IndexOf(day)]))
            {
                return day;
            }
        }

        return null;
    }
}
