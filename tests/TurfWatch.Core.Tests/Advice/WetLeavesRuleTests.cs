using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

// Not mowing wet grass, and waxy winter rye: common practice, no source.
public sealed class WetLeavesRuleTests
{
    [Fact]
    public void Dew_holds_until_the_safe_end_of_the_likely_dry_off()
    {
        // 100 % at 6 and 7, 90 at 8, 50 at 9, 10 at 10.
        var maker = new MorningMaker().DewUntil(100, 100, 90, 50, 10, 0);
        var dryOff = DryOff.Of(maker.Build())!.Value;
        Assert.Equal(maker.At("08:00"), dryOff.Earliest);
        Assert.Equal(maker.At("09:00"), dryOff.Median);
        Assert.Equal(maker.At("10:00"), dryOff.Latest);
        var hold = Assert.Single(WetLeavesRule.Judge(maker.Build()).Holds);
        Assert.Equal((maker.At("10:00"), "dew"), (hold.Until, hold.Note));
    }

    [Fact]
    public void Times_are_told_on_the_quarter_hour_towards_the_safe_side()
    {
        // Falls straight from 100 at 8 to 0 at 9: 90 at 8:06, 10 at 8:54.
        var maker = new MorningMaker().DewUntil(100, 100, 100, 0);
        var dryOff = DryOff.Of(maker.Build())!.Value;
        Assert.Equal(maker.At("08:00"), dryOff.Earliest);
        Assert.Equal(maker.At("09:00"), dryOff.Latest);
    }

    [Fact]
    public void Dry_leaves_speak_for_mowing()
    {
        var judgement = WetLeavesRule.Judge(new MorningMaker().Build());
        Assert.Empty(judgement.Holds);
        Assert.Equal(AdviceWeight.Supports, Assert.Single(judgement.Findings).Weight);
        Assert.Null(DryOff.Of(new MorningMaker().Build()));
    }

    [Fact]
    public void Leaves_that_stay_wet_block_the_day()
    {
        var maker = new MorningMaker();
        maker.Set(maker.WetChance, -6, 48, 100);
        var finding = Assert.Single(WetLeavesRule.Judge(maker.Build()).Findings);
        Assert.Equal(AdviceWeight.Blocks, finding.Weight);
        Assert.Null(DryOff.Of(maker.Build())!.Value.Latest);
    }

    [Fact]
    public void Evening_dew_closes_the_day()
    {
        var maker = new MorningMaker();
        maker.Set(maker.WetChance, 18, 48, 100).Set(maker.Dew, 18, 48, 0.1);
        maker.Set(maker.LeafWater, 18, 48, 0.1);
        var hold = Assert.Single(WetLeavesRule.Judge(maker.Build()).Holds);
        Assert.Equal((maker.At("18:30"), "dew"), (hold.From, hold.Note));
    }

    [Fact]
    public void Leaves_wetted_by_rain_alone_are_no_likelier_wet_than_the_rain_is()
    {
        var maker = new MorningMaker()
            .Set(WeatherColumn.PrecipitationMm, 12, 14, 0.1)
            .Set(WeatherColumn.PrecipitationProbabilityPercent, 12, 14, 30);
        maker.Set(maker.WetChance, 12, 16, 100).Set(maker.LeafWater, 12, 16, 0.1);
        Assert.Empty(WetLeavesRule.Judge(maker.Build()).Holds);
        maker.Set(WeatherColumn.PrecipitationProbabilityPercent, 12, 14, 80);
        Assert.NotEmpty(WetLeavesRule.Judge(maker.Build()).Holds);
    }

    [Theory]
    [InlineData(0.2, 0.0, 0.0, 3.0, "rain")]
    [InlineData(0.2, 0.2, 0.0, 0.0, "dew")]
    [InlineData(0.2, 0.0, 0.0, 0.0, "wet leaves")]
    [InlineData(0.0, 0.0, 0.1, 0.0, "thaw")]
    public void Dew_rain_sprinkler_and_frost_are_told_apart(
        double leafMm,
        double dewMm,
        double frostMm,
        double rainMm,
        string note
    )
    {
        var maker = new MorningMaker().DewUntil(100, 100, 0);
        maker.Set(maker.LeafWater, 0, 7, leafMm).Set(maker.Dew, 0, 7, dewMm);
        maker.Set(maker.Frost, 0, 7, frostMm).Set(WeatherColumn.PrecipitationMm, 0, 3, rainMm);
        Assert.Equal(note, WetLeavesRule.Judge(maker.Build()).Holds[0].Note);
    }

    [Fact]
    public void Wet_winter_rye_gets_its_warning_and_dry_rye_does_not()
    {
        var rye = InventedMornings.OverseededWinter();
        Assert.Contains(WetLeavesRule.Judge(rye.DewUntil(100, 90, 0).Build()).Findings, IsWaxy);
        var dry = InventedMornings.OverseededWinter();
        Assert.DoesNotContain(WetLeavesRule.Judge(dry.Build()).Findings, IsWaxy);

        static bool IsWaxy(Finding f) => f.Text.Format.Contains("waxy", StringComparison.Ordinal);
    }

    [Fact]
    public void A_watered_lawn_is_told_that_sprinklers_are_not_seen()
    {
        var maker = new MorningMaker();
        maker.Lawn = maker.Lawn with { Irrigated = true };
        Assert.Contains(
            WetLeavesRule.Judge(maker.Build()).Findings,
            f => f.Text.Format.Contains("sprinklers", StringComparison.Ordinal)
        );
    }
}
