using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;
using static TurfWatch.Core.Physics.SoilWaterBucket;

namespace TurfWatch.Core.Tests.Physics;

public class SoilWaterBucketTests
{
    // FAO-56 eqs. 82 and 83, by hand: 1000 (0.25 − 0.12) 0.15 = 19.5 mm, half of it readily available.
    [Fact]
    public void Available_water_of_a_shallow_turf()
    {
        var total = TotalAvailableMm(0.25, 0.12, 0.15);
        Check.Near(19.5, total, 1e-9);
        Check.Near(9.75, ReadilyAvailableMm(total, 0.5), 1e-9);
    }

    // FAO-56 eq. 84 and the footnote of table 22, by hand.
    [Fact]
    public void Stress_begins_beyond_the_readily_available_water_and_ends_at_wilting()
    {
        Assert.Equal(1, StressCoefficient(9.75, 19.5, 0.5));
        Check.Near(0.5, StressCoefficient(14.625, 19.5, 0.5), 1e-12);
        Assert.Equal(0, StressCoefficient(19.5, 19.5, 0.5));
        Check.Near(0.46, AdjustedDepletionShare(0.50, 6), 1e-12);
        Assert.Equal(0.1, AdjustedDepletionShare(0.40, 13));
        Assert.Equal(0.8, AdjustedDepletionShare(0.70, 1));
    }

    // FAO-56 eq. 85 by hand: 8 missing, 3 in, 4 out, no stress; then 12 in on 5 missing.
    [Fact]
    public void A_step_balances()
    {
        Assert.Equal(new SoilWaterStep(9, 4, 0), Step(8, 19.5, 0.5, 3, 4));
        Assert.Equal(new SoilWaterStep(4, 4, 7), Step(5, 19.5, 0.5, 12, 4));
    }

    // FAO-56 example 36 is a field of beans; this is the closed solution of dD/dt = ETc (TAW − D)/(TAW − RAW) instead.
    [Fact]
    public void Hourly_steps_follow_the_exponential_drying_of_a_stressed_soil()
    {
        const double Total = 20;
        const double Share = 0.5;
        const double EtPerHour = 0.2;
        var depletion = 10.0;
        for (var hour = 0; hour < 96; hour++)
        {
            depletion = Step(depletion, Total, Share, 0, EtPerHour).DepletionMm;
        }

        Check.Near(Total - 10 * Math.Exp(-EtPerHour * 96 / 10), depletion, 0.05);
    }

    [Fact]
    public void Nothing_is_made_or_lost_and_depletion_stays_in_its_range() =>
        Gen.Select(
                Gen.Double[5, 200],
                Gen.Double[0, 1],
                Gen.Double[0.1, 0.8],
                Gen.Double[0, 80],
                Gen.Double[0, 12]
            )
            .Sample(
                (total, share, p, water, et) =>
                {
                    var step = Step(share * total, total, p, water, et);
                    Assert.InRange(step.DepletionMm, 0, total);
                    Assert.InRange(step.EvapotranspirationMm, 0, et);
                    Assert.True(step.PercolationMm >= 0);
                    Assert.Equal(
                        share * total - water + step.EvapotranspirationMm + step.PercolationMm,
                        step.DepletionMm,
                        1e-9
                    );
                }
            );

    [Fact]
    public void Dew_is_not_counted_as_negative_use() =>
        Assert.Equal(new SoilWaterStep(5, 0, 0), Step(5, 20, 0.5, 0, -0.03));

    [Fact]
    public void Unknown_in_is_unknown_out()
    {
        Assert.Equal(double.NaN, Step(double.NaN, 20, 0.5, 1, 1).DepletionMm);
        Assert.Equal(double.NaN, Step(5, 20, 0.5, double.NaN, 1).DepletionMm);
        Assert.Equal(double.NaN, Step(5, 20, 0.5, 1, double.NaN).DepletionMm);
        Assert.Equal(double.NaN, StressCoefficient(double.NaN, 20, 0.5));
        Assert.Equal(double.NaN, TotalAvailableMm(0.3, double.NaN, 0.1));
    }

    [Fact]
    public void Impossible_soils_and_negative_rain_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => TotalAvailableMm(0.12, 0.25, 0.15));
        Assert.Throws<ArgumentOutOfRangeException>(() => TotalAvailableMm(25, 12, 0.15));
        Assert.Throws<ArgumentOutOfRangeException>(() => TotalAvailableMm(0.25, 0.12, 15));
        Assert.Throws<ArgumentOutOfRangeException>(() => Step(5, 0, 0.5, 1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Step(5, 20, 0.5, -1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Step(5, 20, 50, 1, 1));
    }
}
