using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class GroundAndWaterRuleTests
{
    // Wheels on soil above field capacity: common practice; the limits by texture are judgement.
    [Theory]
    [InlineData(SoilTexture.Clay, 1.3, true)]
    [InlineData(SoilTexture.Loam, 1.3, false)]
    [InlineData(SoilTexture.Sand, 2.0, false)]
    [InlineData(SoilTexture.Loam, 1.5, true)]
    public void The_finer_the_soil_the_less_wet_it_bears(
        SoilTexture soil,
        double wetness,
        bool soft
    )
    {
        var maker = new MorningMaker();
        maker.Lawn = maker.Lawn with { Soil = soil };
        Array.Fill(maker.SoilWetness, wetness);
        Assert.Equal(soft, SoilBearingRule.Judge(maker.Build()).Holds.Length > 0);
        Assert.Equal(soft ? MowingVerdict.NotToday : MowingVerdict.MowFrom, maker.Decide().Verdict);
    }

    [Fact]
    public void Ground_that_drains_opens_the_window()
    {
        var maker = new MorningMaker();
        maker.Set(maker.SoilWetness, -48, 14, 1.7);
        Assert.Equal(maker.At("14:00"), maker.Decide().From);
    }

    // FAO-56 Table 22: cool-season turf is stressed below 60 % of the available water, warm-season below 50 %.
    [Theory]
    [InlineData(0.65, null)]
    [InlineData(0.45, HoldKind.Care)]
    [InlineData(0.25, HoldKind.Blocks)]
    public void Thirsty_fescue_is_left_alone(double available, HoldKind? kind)
    {
        var maker = new MorningMaker();
        Array.Fill(maker.AvailableWater, available);
        Assert.Equal(kind, DroughtStressRule.Judge(maker.Build()).Holds.FirstOrNull()?.Kind);
    }

    // Started from a guess, the soil water says nothing: neither rule may judge, no hour is noted dry.
    [Theory]
    [InlineData(0.2, 0.5)]
    [InlineData(0.5, 2.5)]
    public void Without_past_weather_soil_water_is_not_judged(double available, double wetness)
    {
        var maker = new MorningMaker { SpinUpDays = 0, HistoryCoverage = 0 };
        Array.Fill(maker.AvailableWater, available);
        Array.Fill(maker.SoilWetness, wetness);
        var briefing = maker.Briefing();
        Assert.Equal(MowingVerdict.MowFrom, briefing.Mowing.Verdict);
        Assert.DoesNotContain(
            briefing.Mowing.Reasons,
            r => r.Rule is DroughtStressRule.Id or SoilBearingRule.Id
        );
        Assert.DoesNotContain(briefing.Hours, h => h.Note is "dry soil" or "too dry");
    }

    // Water above field capacity drains within two to three days (FAO-56, ch. 8): a week of weather tells of it.
    [Fact]
    public void A_week_of_past_weather_tells_soft_ground_but_not_drought()
    {
        var maker = new MorningMaker { SpinUpDays = 7 };
        Array.Fill(maker.AvailableWater, 0.2);
        Array.Fill(maker.SoilWetness, 2);
        var rules = maker.Decide().Reasons.Select(r => r.Rule).ToList();
        Assert.Contains(SoilBearingRule.Id, rules);
        Assert.DoesNotContain(DroughtStressRule.Id, rules);
    }

    [Fact]
    public void Bridged_days_do_not_count_as_known() =>
        Assert.Equal(
            15,
            KnownSoil.Days(new MorningMaker { SpinUpDays = 60, HistoryCoverage = 0.25 }.Site()),
            6
        );

    [Fact]
    public void Wilted_grass_is_not_mown_today()
    {
        var maker = new MorningMaker();
        Array.Fill(maker.AvailableWater, 0.2);
        var advice = maker.Decide();
        Assert.Equal(MowingVerdict.NotToday, advice.Verdict);
        Assert.Equal(DroughtStressRule.Id, advice.Reasons[0].Rule);
    }
}
