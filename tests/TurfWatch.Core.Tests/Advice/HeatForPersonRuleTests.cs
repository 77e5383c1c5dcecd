using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

// NWS heat index categories: extreme caution 90-103 °F, danger from 103 °F. Values of the NWS calculator.
public sealed class HeatForPersonRuleTests
{
    [Theory]
    [InlineData(86, 45, null)] // 87 °F
    [InlineData(92, 50, HoldKind.Care)] // 97 °F by the NWS equation
    [InlineData(96, 60, HoldKind.Blocks)] // 116 °F
    public void The_category_decides(double airF, double humidity, HoldKind? kind)
    {
        var maker = new MorningMaker()
            .Set(WeatherColumn.AirTemperatureC, 12, 15, (airF - 32) / 1.8)
            .Set(WeatherColumn.RelativeHumidityPercent, 12, 15, humidity);
        Assert.Equal(kind, HeatForPersonRule.Judge(maker.Build()).Holds.FirstOrNull()?.Kind);
    }

    [Fact]
    public void Dangerous_heat_closes_the_window()
    {
        var maker = new MorningMaker(now: "07:30")
            .Set(WeatherColumn.AirTemperatureC, 11, 19, 36)
            .Set(WeatherColumn.RelativeHumidityPercent, 11, 19, 60);
        var advice = maker.Decide();
        Assert.Equal(MowingVerdict.MowNow, advice.Verdict);
        Assert.Equal(maker.At("11:00"), advice.Until);
    }

    [Fact]
    public void The_evidence_is_the_worst_hour()
    {
        var maker = new MorningMaker()
            .Set(WeatherColumn.AirTemperatureC, 12, 13, (96 - 32) / 1.8)
            .Set(WeatherColumn.RelativeHumidityPercent, 12, 13, 60);
        var evidence = Assert.Single(HeatForPersonRule.Judge(maker.Build()).Findings).Evidence;
        Assert.StartsWith("feels like 116 °F", evidence.InUs(maker.Zone), StringComparison.Ordinal);
    }
}
