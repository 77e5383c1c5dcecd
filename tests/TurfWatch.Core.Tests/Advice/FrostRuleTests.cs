using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

// NC State Extension AG-763W: no traffic on frozen turf until thawed. NWS Jackson: 36, 32, 28 °F.
public sealed class FrostRuleTests
{
    [Fact]
    public void The_levels_are_those_of_the_weather_service()
    {
        Assert.Equal((36 - 32) / 1.8, FrostRule.FrostAirC, 0.05);
        Assert.Equal((32 - 32) / 1.8, FrostRule.FreezeAirC, 0.05);
        Assert.Equal((28 - 32) / 1.8, FrostRule.HardFreezeAirC, 0.05);
    }

    [Fact]
    public void Frost_blocks_until_thawed()
    {
        var maker = Cold();
        maker.Set(maker.Frost, 0, 9, 0.1);
        // Ice at the end of the ninth hour: the tenth is still thawing.
        var hold = Assert.Single(FrostRule.Judge(maker.Build()).Holds);
        Assert.Equal((maker.At("10:00"), "frost"), (hold.Until, hold.Note));
    }

    [Fact]
    public void What_thaws_must_dry_before_mowing()
    {
        var maker = Cold();
        maker.Set(maker.Frost, 0, 9, 0.1);
        maker.DewUntil(100, 100, 100, 100, 100, 50, 0).Mowed(40);
        Assert.Equal(maker.At("12:00"), maker.Decide().From);
    }

    [Theory]
    [InlineData(2.0, 10, 1.0, true)]
    [InlineData(2.0, 90, 1.0, false)]
    [InlineData(2.0, 10, 5.0, false)]
    [InlineData(3.0, 10, 1.0, false)]
    [InlineData(2.0, double.NaN, double.NaN, true)]
    public void Air_at_36_fahrenheit_under_a_clear_calm_sky_counts_as_frost(
        double airC,
        double cloud,
        double wind,
        bool frost
    )
    {
        var maker = Cold()
            .Set(WeatherColumn.AirTemperatureC, 6, 8, airC)
            .Set(WeatherColumn.CloudCoverPercent, 6, 8, cloud)
            .Set(WeatherColumn.WindSpeedMS, 6, 8, wind);
        Assert.Equal(frost, FrostRule.Judge(maker.Build()).Holds.Length > 0);
    }

    [Theory]
    [InlineData(1.5, "frost:")]
    [InlineData(-1.0, "freeze:")]
    [InlineData(-3.0, "hard freeze:")]
    public void The_evidence_names_the_level(double coldestC, string level)
    {
        var maker = Cold().Set(WeatherColumn.AirTemperatureC, 4, 8, coldestC);
        maker.Set(maker.Frost, 0, 8, 0.1);
        var evidence = Assert.Single(FrostRule.Judge(maker.Build()).Findings).Evidence;
        Assert.StartsWith(level, evidence.InUs(maker.Zone), StringComparison.Ordinal);
    }

    [Fact]
    public void Frost_under_mild_air_is_laid_to_the_sky()
    {
        var maker = Cold();
        maker.Set(maker.Frost, 0, 8, 0.1).Set(maker.Canopy, 0, 8, -2);
        Assert.Equal(
            "grass down to 28 °F by losing heat to the sky, while the air stays at 43 °F or more",
            FrostRule.Judge(maker.Build()).Findings[0].Evidence.InUs(maker.Zone)
        );
    }

    [Fact]
    public void A_mild_morning_is_silent() =>
        Assert.Empty(FrostRule.Judge(new MorningMaker().Build()).Findings);

    private static MorningMaker Cold()
    {
        var maker = new MorningMaker(new LocalDate(2026, 3, 10));
        maker.Set(WeatherColumn.AirTemperatureC, 0, 24, 6);
        return maker;
    }
}
