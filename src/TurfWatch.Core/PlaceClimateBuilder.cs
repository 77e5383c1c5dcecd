using NodaTime;

namespace TurfWatch.Core;

/// <summary>Past days in, the usual course of the year out.</summary>
/// <remarks>
/// The value of a day of the year is the mean over all years of the days up to 7 before and after it (a moving
/// window of 15 days: common practice, no source). In common years 29 February is missing, nothing else shifts.
/// </remarks>
public static class PlaceClimateBuilder
{
    /// <summary>Fewer years than this tell the weather of those years, not what is usual.</summary>
    public const int FewestYears = 10;

    private const int HalfWindow = 7;

    // A year or a cold season with more missing days than this does not count.
    private const int MostMissing = 20;

    /// <summary>Builds it.</summary>
    /// <param name="days">The days in any order, each once.</param>
    /// <returns>Null when fewer than <see cref="FewestYears"/> years are known.</returns>
    public static PlaceClimate? Build(IReadOnlyCollection<ClimateDay> days)
    {
        var known = days.Where(d => !double.IsNaN(d.MeanC))
            .GroupBy(d => d.Date.Year)
            .Where(y => y.Count() >= 365 - MostMissing)
            .Select(y => y.Key)
            .ToHashSet();
        if (known.Count < FewestYears)
        {
            return null;
        }

        var kept = days.Where(d => known.Contains(d.Date.Year)).ToList();
        return new()
        {
            FirstYear = known.Min(),
            LastYear = known.Max(),
            Years = known.Count,
            MeanC = Usual(kept.Select(d => (d.Date, d.MeanC))),
            MinC = Usual(kept.Select(d => (d.Date, d.MinC))),
            MaxC = Usual(kept.Select(d => (d.Date, d.MaxC))),
            RainMm = Usual(kept.Select(d => (d.Date, d.RainMm))),
            ColdSeasons = Seasons(days),
        };
    }

    /// <summary>First day of the cold season that begins in a year: 1 July.</summary>
    internal static LocalDate SeasonStart(int year) => new(year, 7, 1);

    /// <summary>Mean of each day of the year and the seven on either side, over all years; NaN where none is known.</summary>
    internal static double[] Usual(IEnumerable<(LocalDate Date, double Value)> days)
    {
        var sum = new double[PlaceClimate.Days];
        var count = new int[PlaceClimate.Days];
        foreach (var (date, value) in days)
        {
            if (!double.IsNaN(value))
            {
                var i = PlaceClimate.IndexOf(date);
                sum[i] += value;
                count[i]++;
            }
        }

        var usual = new double[PlaceClimate.Days];
        for (var i = 0; i < usual.Length; i++)
        {
            double total = 0;
            var n = 0;
            for (var k = i - HalfWindow; k <= i + HalfWindow; k++)
            {
                var at = (k + PlaceClimate.Days) % PlaceClimate.Days;
                total += sum[at];
                n += count[at];
            }

            usual[i] = n == 0 ? double.NaN : total / n;
        }

        return usual;
    }

    private static List<ColdSeason> Seasons(IEnumerable<ClimateDay> days)
    {
        var seasons = new List<ColdSeason>();
        foreach (
            var season in days.Where(d => !double.IsNaN(d.MinC))
                .GroupBy(d => d.Date.Month >= 7 ? d.Date.Year : d.Date.Year - 1)
                .OrderBy(s => s.Key)
        )
        {
            if (season.Count() < 365 - MostMissing)
            {
                continue;
            }

            var freezes = season.Where(d => d.MinC <= 0).Select(d => d.Date).ToList();
            seasons.Add(
                freezes.Count == 0
                    ? new(season.Key, null, null)
                    : new(season.Key, freezes.Min(), freezes.Max())
            );
        }

        return seasons;
    }
}
