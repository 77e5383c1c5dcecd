using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class LeafGrowthTests
{
    private static readonly Grass Fescue = Grasses.Of(GrassKind.TallFescue);
    private static readonly Grass Bermuda = Grasses.Of(GrassKind.Bermuda);

    // 1.25 in a week at best for tall fescue: the judgement that grasses.json states.
    [Fact]
    public void Nothing_short_gives_the_full_rate() =>
        Assert.Equal(1.25 * 2.54 / 7, LeafGrowth.RateCmPerDay(Fescue, 20, 20, 1), 0.005);

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
