using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>What the forecast has of rain for the next days, as far as spreading things on a lawn is concerned.</summary>
/// <param name="HeaviestMm">Most rain in any 24 hours that end within two days [mm]; NaN when unknown.</param>
/// <param name="ChancePercent">Highest chance of rain in those hours [%]; NaN when unknown.</param>
/// <param name="SoakingDay">First of today and the next two days with enough rain to water in and not too much; null when none is likely.</param>
/// <param name="SoakingMm">Rain of that day [mm].</param>
public sealed record RainToCome(
    double HeaviestMm,
    double ChancePercent,
    LocalDate? SoakingDay,
    double SoakingMm
)
{
    /// <summary>Rain in 24 hours that carries fertilizer off [mm]: half an inch; judgement. Leon County, Florida, draws the line of its law at an inch.</summary>
    public const double HeavyMm = 12.7;

    /// <summary>Rain in 24 hours that carries seed off [mm]: an inch; judgement.</summary>
    public const double WashingMm = 25.4;

    /// <summary>Rain that waters fertilizer in [mm]; judgement.</summary>
    public const double SoakMm = 3;

    private const int LookHours = 48;

    /// <summary>Rain so heavy that fertilizer should wait, and likely.</summary>
    public bool Heavy => Likely && HeaviestMm >= HeavyMm;

    /// <summary>Rain so heavy that seed should wait, and likely.</summary>
    public bool Washing => Likely && HeaviestMm >= WashingMm;

    private bool Likely =>
        double.IsNaN(ChancePercent) || ChancePercent >= RainAheadRule.LikelyPercent;

    /// <summary>Looks at the forecast.</summary>
    public static RainToCome Of(LawnYear year)
    {
        var heaviest = double.NaN;
        for (var end = 24; end <= LookHours; end += 3)
        {
            var sum = Sum(year, year.Now + Duration.FromHours(end - 24), Duration.FromHours(24));
            heaviest =
                double.IsNaN(heaviest) ? sum
                : double.IsNaN(sum) ? heaviest
                : Math.Max(heaviest, sum);
        }

        var chance = Chance(year, year.Now, Duration.FromHours(LookHours));
        var zone = year.Lawn.Place.Zone;
        for (var ahead = 0; ahead <= 2; ahead++)
        {
            var start = zone.AtStartOfDay(year.Date.PlusDays(ahead)).ToInstant();
            var day = Duration.FromHours(24);
            var from = Instant.Max(start, year.Now);
            var mm = Sum(year, from, start + day - from);
            var likely = Chance(year, from, start + day - from) >= RainAheadRule.LikelyPercent;
            if (likely && mm is >= SoakMm and < HeavyMm)
            {
                return new(heaviest, chance, year.Date.PlusDays(ahead), mm);
            }
        }

        return new(heaviest, chance, null, double.NaN);
    }

    // Half of the hours must be known.
    private static double Sum(LawnYear year, Instant from, Duration span)
    {
        var (sum, known) = (0.0, 0);
        foreach (var mm in Hours(year, WeatherColumn.PrecipitationMm, from, span))
        {
            sum += mm;
            known++;
        }

        return known * 2 >= span.TotalHours ? sum : double.NaN;
    }

    private static double Chance(LawnYear year, Instant from, Duration span) =>
        Hours(year, WeatherColumn.PrecipitationProbabilityPercent, from, span)
            .DefaultIfEmpty(double.NaN)
            .Max();

    private static IEnumerable<double> Hours(
        LawnYear year,
        WeatherColumn column,
        Instant from,
        Duration span
    )
    {
        var weather = year.Site.Weather;
        var first = weather.IndexOf(from + Duration.FromHours(1));
        var last = weather.IndexOf(from + span);
        for (var i = Math.Max(0, first); i <= Math.Min(last, weather.Count - 1); i++)
        {
            var value = weather[column][i];
            if (!double.IsNaN(value))
            {
                yield return value;
            }
        }
    }
}
