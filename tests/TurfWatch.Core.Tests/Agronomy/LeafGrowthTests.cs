using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using TurfWatch.Core.Tests.Agronomy.Windows;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class LeafGrowthTests
{
    private static readonly Grass Fescue = Grasses.Of(GrassKind.TallFescue);
    private static readonly Grass Bermuda = Grasses.Of(GrassKind.Bermuda);

    [Fact]
    public void Nothing_short_gives_the_full_rate() =>
        Assert.Equal(
            Fescue.MaxLeafGrowthCmPerDay.Value,
            LeafGrowth.RateCmPerDay(Fescue, 20, 20, 1),
            9
        );

    // Kansas State, R. St. John (2012): tall fescue kept at 3.5 in is mown at 4.6 in, in rapid growth every 4 to 5 days.
    [Fact]
    public void Tall_fescue_at_its_best_wants_a_cut_every_four_or_five_days() =>
        Assert.InRange((4.6 - 3.5) * 2.54 / LeafGrowth.RateCmPerDay(Fescue, 20, 20, 1), 4, 5);

    // Law, Bigelow & Patton 2016 (Crop Science 56: 3318), abstract: at West Lafayette, Indiana, the one-third rule took 31 %,
    // about eight, off the mowings of a weekly schedule: some 26 a year and some 18, over tall fescues and Kentucky bluegrasses,
    // the tall fescues more. The height of cut and the water were not read there: 3 in, and growth at 85 % for want of water.
    [Fact]
    public void A_year_by_the_one_third_rule_takes_some_eighteen_mowings_in_Indiana()
    {
        var mowings = new[] { GrassKind.TallFescue, GrassKind.KentuckyBluegrass }
            .Select(kind => Mowings(Grasses.Of(kind)))
            .ToArray();
        Assert.InRange(mowings.Average(), 18 * 0.8, 18 * 1.2);
        Assert.True(mowings[0] > mowings[1]);
    }

    // FAO-56 eq. 84 with p of Table 22: K_s = (1 - depletion) / (1 - p).
    [Theory]
    [InlineData(0.6, 1)]
    [InlineData(0.3, 0.5)]
    [InlineData(0.15, 0.25)]
    [InlineData(0, 0)]
    [InlineData(double.NaN, 1)]
    public void Water_slows_it_as_the_stress_coefficient_says(double available, double factor) =>
        Assert.Equal(factor, LeafGrowth.WaterFactor(Fescue, available), 9);

    [Fact]
    public void A_warm_season_grass_stands_drier_soil() =>
        Assert.True(LeafGrowth.WaterFactor(Bermuda, 0.5) > LeafGrowth.WaterFactor(Fescue, 0.5));

    [Fact]
    public void No_light_no_growth() => Assert.Equal(0, LeafGrowth.RateCmPerDay(Fescue, 20, 0, 1));

    [Fact]
    public void Days_add_up()
    {
        var maker = Steady();
        var site = maker.Site();
        var five = new GrowthCurve(site, Fescue, Shade.Sun).Between(
            maker.Now - Duration.FromDays(5),
            maker.Now
        );
        Assert.Equal(5 * Fescue.MaxLeafGrowthCmPerDay.Value, five.Cm, 0.01);
        Assert.Equal(1, five.KnownShare, 0.01);
    }

    [Fact]
    public void Hours_without_weather_count_at_the_mean_of_the_known_ones_and_are_told()
    {
        var maker = Steady();
        maker.Set(WeatherColumn.AirTemperatureC, -72, -24, double.NaN);
        var grown = new GrowthCurve(maker.Site(), Fescue, Shade.Sun).Between(
            maker.Now - Duration.FromDays(5),
            maker.Now
        );
        Assert.Equal(5 * Fescue.MaxLeafGrowthCmPerDay.Value, grown.Cm, 0.01);
        Assert.InRange(grown.KnownShare, 0.3, 0.7);
    }

    [Fact]
    public void No_weather_at_all_gives_no_growth_figure()
    {
        var maker = Steady();
        maker[WeatherColumn.AirTemperatureC].Fill(double.NaN);
        var grown = new GrowthCurve(maker.Site(), Fescue, Shade.Sun).Between(
            maker.Now - Duration.FromDays(5),
            maker.Now
        );
        Assert.True(double.IsNaN(grown.Cm));
    }

    [Fact]
    public void Deep_shade_slows_it()
    {
        var maker = Steady();
        var from = maker.Now - Duration.FromDays(3);
        var sun = new GrowthCurve(maker.Site(), Fescue, Shade.Sun).Between(from, maker.Now);
        var shade = new GrowthCurve(maker.Site(), Fescue, Shade.Full).Between(from, maker.Now);
        Assert.True(shade.Cm < sun.Cm);
    }

    private static double Mowings(Grass grass)
    {
        const double CutCm = 7.62;
        var first = new LocalDate(2025, 1, 1);
        var grown = Enumerable
            .Range(0, 365)
            .Sum(i =>
                0.85
                * LeafGrowth.RateCmPerDay(
                    grass,
                    Town.Lafayette.AirC(first.PlusDays(i), 0),
                    double.NaN,
                    double.NaN
                )
            );
        return grown / (OneThirdRule.DueHeightCm(CutCm) - CutCm);
    }

    private static MorningMaker Steady()
    {
        var maker = new MorningMaker();
        maker[WeatherColumn.AirTemperatureC].Fill(20);
        Array.Fill(maker.Shortwave, 200);
        return maker;
    }

    // NC State / Turf Council of NC 2005: cool-season shoots cease above 90 °F soil.
    [Theory]
    [InlineData(32, true)]
    [InlineData(32.5, false)]
    public void Above_90_fahrenheit_soil_fescue_makes_no_leaf(double soilC, bool grows)
    {
        var maker = new MorningMaker();
        Array.Fill(maker.Soil10, soilC);
        var site = maker.Site();
        Assert.Equal(
            grows,
            new GrowthCurve(site, Fescue, Shade.Sun)
                .Between(maker.Now - Duration.FromDays(2), maker.Now)
                .Cm > 0
        );
    }
}
