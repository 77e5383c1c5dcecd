using System.Collections.Immutable;

namespace TurfWatch.Core.Agronomy;

/// <summary>One season's take from a bag of seed.</summary>
/// <param name="Season">1 for the first.</param>
/// <param name="NeedKg">Seed for the lawn, more each year as the seed ages [kg].</param>
/// <param name="LeftKg">Left in the bag afterwards [kg].</param>
public sealed record SeedSeason(int Season, double NeedKg, double LeftKg);

/// <summary>How seed ages, and how long a bag lasts.</summary>
public static class SeedStorage
{
    /// <summary>Share of the germination lost a year in a cool dry place [0–1]; common practice, no source: pages for owners give a twentieth to a quarter.</summary>
    public const double LossAYear = 0.10;

    /// <summary>The least that such pages give.</summary>
    public const double LeastLossAYear = 0.05;

    /// <summary>The most: warm and damp.</summary>
    public const double MostLossAYear = 0.25;

    /// <summary>Months after which a test of germination is too old to trust; judgement, no source.</summary>
    public const int TestGoodMonths = 12;

    /// <summary>Germination below which old seed is not worth sowing [%]; common practice: less than half.</summary>
    public const double WorthSowingPercent = 50;

    private const int MostSeasons = 20;

    /// <summary>Germination after some years in store: g · (1 − loss)^years [%].</summary>
    /// <param name="germinationPercent">Germination on the tag [%], above 0 to 100.</param>
    /// <param name="years">Years since the test, 0 or more.</param>
    /// <param name="lossAYear">Share lost a year [0–1).</param>
    public static double Germination(
        double germinationPercent,
        double years,
        double lossAYear = LossAYear
    )
    {
        if (germinationPercent is not (> 0 and <= 100))
        {
            throw new ArgumentOutOfRangeException(
                nameof(germinationPercent),
                germinationPercent,
                "germination lies above 0 and at most at 100 percent"
            );
        }

        ArgumentOutOfRangeException.ThrowIfNegative(years);
        if (lossAYear is not (>= 0 and < 1))
        {
            throw new ArgumentOutOfRangeException(
                nameof(lossAYear),
                lossAYear,
                "a loss a year is a share of at least 0 and below 1"
            );
        }

        return germinationPercent * Math.Pow(1 - lossAYear, years);
    }

    /// <summary>The seasons that a bag fills whole, sown once a year, each with the seed that its age asks for.</summary>
    /// <param name="bagKg">Seed in the bag [kg], above 0.</param>
    /// <param name="needKg">Seed for the lawn in the first season [kg], above 0.</param>
    /// <param name="lossAYear">Share of the germination lost a year [0–1); 0 leaves ageing out.</param>
    public static ImmutableArray<SeedSeason> Bag(
        double bagKg,
        double needKg,
        double lossAYear = LossAYear
    )
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(bagKg);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(needKg);
        var seasons = ImmutableArray.CreateBuilder<SeedSeason>();
        var left = bagKg;
        for (var season = 1; season <= MostSeasons; season++)
        {
            var need = needKg * 100 / Germination(100, season - 1, lossAYear);
            if (need > left * (1 + 1e-9))
            {
                break;
            }

            left = Math.Max(0, left - need);
            seasons.Add(new(season, need, left));
        }

        return seasons.ToImmutable();
    }
}
