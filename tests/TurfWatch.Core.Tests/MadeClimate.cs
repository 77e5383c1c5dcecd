using NodaTime;

namespace TurfWatch.Core.Tests;

/// <summary>Past years of our own making.</summary>
internal static class MadeClimate
{
    /// <summary>Every day of the years; the minimum lies 5 K under the mean, the maximum 5 K over it.</summary>
    public static IEnumerable<ClimateDay> Days(
        int firstYear,
        int lastYear,
        Func<LocalDate, double> meanC,
        Func<LocalDate, double>? minC = null
    )
    {
        for (var day = new LocalDate(firstYear, 1, 1); day.Year <= lastYear; day = day.PlusDays(1))
        {
            var mean = meanC(day);
            yield return new(day, mean, minC?.Invoke(day) ?? mean - 5, mean + 5, 2);
        }
    }

    /// <summary>Twenty years of one wave, coldest on 20 January.</summary>
    public static PlaceClimate Wave(double meanC = 14, double amplitudeK = 12) =>
        PlaceClimateBuilder.Build([
            .. Days(
                2006,
                2025,
                d =>
                    meanC
                    - (
                        amplitudeK
                        * Math.Cos(2 * Math.PI * (PlaceClimate.IndexOf(d) - 19) / PlaceClimate.Days)
                    )
            ),
        ])!;

    /// <summary>
    /// Twenty years whose only freezes are given by hand: nineteen cold seasons, each with the first and last
    /// freeze on these days, counted from 1 July; null for a season without one.
    /// </summary>
    public static PlaceClimate Freezes(params (int First, int Last)?[] seasons)
    {
        var frozen = new HashSet<LocalDate>();
        for (var i = 0; i < seasons.Length; i++)
        {
            if (seasons[i] is { } season)
            {
                var july = new LocalDate(2006 + i, 7, 1);
                frozen.Add(july.PlusDays(season.First));
                frozen.Add(july.PlusDays(season.Last));
            }
        }

        return PlaceClimateBuilder.Build([
            .. Days(2006, 2006 + seasons.Length, _ => 15, d => frozen.Contains(d) ? 0 : 3),
        ])!;
    }
}
