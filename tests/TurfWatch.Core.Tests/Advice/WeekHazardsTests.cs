using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class WeekHazardsTests
{
    [Fact]
    public void A_mild_dry_week_is_silent() => Assert.Empty(Of(new LawnYearMaker()));

    // NWS Jackson: freeze 32 °F, hard freeze 28 °F.
    [Theory]
    [InlineData(1.0, null)]
    [InlineData(-1.0, "Freeze")]
    [InlineData(-3.0, "Hard freeze")]
    public void Freezes_are_told_by_their_level(double coldestC, string? told)
    {
        var maker = new LawnYearMaker();
        maker.Morning.Set(WeatherColumn.AirTemperatureC, 27, 30, coldestC);
        var findings = Of(maker);
        Assert.Equal(told is null ? 0 : 1, findings.Count);
        if (told is not null)
        {
            Assert.StartsWith(
                $"{told} on Thursday",
                findings[0].Text.InUs(maker.Morning.Zone),
                StringComparison.Ordinal
            );
        }
    }

    [Fact]
    public void Frost_on_the_leaves_keeps_traffic_off()
    {
        var maker = new LawnYearMaker();
        maker.Morning.Set(maker.Morning.Frost, 28, 31, 0.1);
        Assert.Contains(
            "keep feet and wheels off",
            Assert.Single(Of(maker)).Text.Format,
            StringComparison.Ordinal
        );
    }

    // NWS heat index calculator: 96 °F at 65 % feels like 121 °F; danger from 103 °F.
    [Fact]
    public void Dangerous_heat_is_told_with_how_it_feels()
    {
        var maker = new LawnYearMaker();
        maker
            .Morning.Set(WeatherColumn.AirTemperatureC, 37, 41, (96 - 32) / 1.8)
            .Set(WeatherColumn.RelativeHumidityPercent, 37, 41, 65);
        var finding = Assert.Single(Of(maker));
        Assert.StartsWith("Dangerous heat", finding.Text.Format, StringComparison.Ordinal);
        Assert.Contains(
            "121 °F",
            finding.Evidence.InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    [Theory]
    [InlineData(45, 20, 0)]
    [InlineData(47, 20, 1)]
    [InlineData(20, 32, 1)]
    public void Wind_is_told_from_the_levels_of_an_advisory(
        double gustMph,
        double windMph,
        int told
    )
    {
        var maker = new LawnYearMaker();
        maker
            .Morning.Set(WeatherColumn.WindGustMS, 37, 39, gustMph * 0.44704)
            .Set(WeatherColumn.WindSpeedMS, 37, 39, windMph * 0.44704);
        Assert.Equal(told, Of(maker).Count);
    }

    [Theory]
    [InlineData(20, null)]
    [InlineData(30, "Heavy rain")]
    [InlineData(60, "Rain that may flood")]
    public void Rain_is_told_by_the_day(double mm, string? told)
    {
        var maker = new LawnYearMaker();
        maker.Morning.Set(WeatherColumn.PrecipitationMm, 30, 40, mm / 10);
        var findings = Of(maker);
        Assert.Equal(told is null ? 0 : 1, findings.Count);
        if (told is not null)
        {
            Assert.StartsWith(told, findings[0].Text.Format, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Thunder_in_a_warning_says_to_go_indoors_and_comes_first()
    {
        var maker = new LawnYearMaker();
        maker.Morning.Hazards =
        [
            new(
                "Severe Thunderstorm Warning",
                "Severe",
                maker.Morning.At("15:00"),
                maker.Morning.At("17:00"),
                "an office"
            ),
        ];
        maker.Morning.Set(WeatherColumn.PrecipitationMm, 30, 40, 6);
        var findings = Of(maker);
        Assert.Equal(AdviceWeight.Blocks, findings[0].Weight);
        Assert.Contains(
            "go indoors",
            findings[0].Text.InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Warnings_that_are_over_or_far_off_are_left_out()
    {
        var maker = new LawnYearMaker();
        maker.Morning.Hazards =
        [
            new("Flood Warning", "Severe", null, maker.Morning.Now, "an office"),
            new("Heat Advisory", "Moderate", maker.Morning.At("12:00", 9), null, "an office"),
        ];
        Assert.Empty(Of(maker));
    }

    [Fact]
    public void What_is_past_is_not_ahead()
    {
        var maker = new LawnYearMaker();
        maker.Morning.Set(WeatherColumn.AirTemperatureC, -40, 0, -5);
        Assert.Empty(Of(maker));
    }

    private static List<Finding> Of(LawnYearMaker maker) => [.. WeekHazards.Of(maker.Build())];
}
