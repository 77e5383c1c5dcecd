using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

// The limits of 50 % and 25 % are judgement; 0.01 in as measurable rain is the NWS meaning of its chance.
public sealed class RainAheadRuleTests
{
    [Fact]
    public void Likely_rain_takes_its_hours()
    {
        var maker = new MorningMaker()
            .Set(WeatherColumn.PrecipitationProbabilityPercent, 13, 16, 70)
            .Set(WeatherColumn.PrecipitationMm, 13, 16, 2);
        var judgement = RainAheadRule.Judge(maker.Build());
        Assert.Equal(
            new Hold(maker.At("13:00"), maker.At("16:00"), HoldKind.Blocks, "rain"),
            Assert.Single(judgement.Holds)
        );
        var finding = Assert.Single(judgement.Findings);
        Assert.Equal(AdviceWeight.Limits, finding.Weight);
        Assert.Equal("chance up to 70 %, about 0.24 in", finding.Evidence.InUs(maker.Zone));
    }

    [Theory]
    [InlineData(24, null)]
    [InlineData(25, HoldKind.Care)]
    [InlineData(49, HoldKind.Care)]
    [InlineData(50, HoldKind.Blocks)]
    public void The_chance_decides(double chance, HoldKind? kind)
    {
        var maker = new MorningMaker().Set(
            WeatherColumn.PrecipitationProbabilityPercent,
            10,
            12,
            chance
        );
        Assert.Equal(kind, RainAheadRule.Judge(maker.Build()).Holds.FirstOrNull()?.Kind);
    }

    [Fact]
    public void Without_a_chance_the_amount_decides()
    {
        var maker = new MorningMaker()
            .Set(WeatherColumn.PrecipitationProbabilityPercent, 0, 24, double.NaN)
            .Set(WeatherColumn.PrecipitationMm, 10, 11, 0.26);
        Assert.Equal(
            new Hold(maker.At("10:00"), maker.At("11:00"), HoldKind.Blocks, "rain"),
            Assert.Single(RainAheadRule.Judge(maker.Build()).Holds)
        );
    }

    [Fact]
    public void Rain_outside_the_owner_s_hours_is_no_matter_here()
    {
        var maker = new MorningMaker().Set(
            WeatherColumn.PrecipitationProbabilityPercent,
            21,
            24,
            90
        );
        Assert.Equal(
            AdviceWeight.Supports,
            Assert.Single(RainAheadRule.Judge(maker.Build()).Findings).Weight
        );
    }
}
