using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>Owner's hours, daylight, rest, need, and hours that cannot be seen.</summary>
public sealed class OwnersDayTests
{
    [Fact]
    public void A_day_the_owner_does_not_mow_is_not_today()
    {
        var maker = new MorningMaker(); // a Wednesday
        maker.Lawn = maker.Lawn with { MowDays = [IsoDayOfWeek.Saturday] };
        var advice = maker.Decide();
        Assert.Equal(MowingVerdict.NotToday, advice.Verdict);
        Assert.Equal(OwnerHoursRule.Id, advice.Reasons[0].Rule);
        maker.Lawn = maker.Lawn with { MowDays = [IsoDayOfWeek.Wednesday] };
        Assert.Equal(MowingVerdict.MowFrom, maker.Decide().Verdict);
    }

    [Fact]
    public void The_window_lies_in_the_owner_s_hours_to_the_minute()
    {
        var maker = new MorningMaker();
        maker.Lawn = maker.Lawn with
        {
            MowFrom = new LocalTime(9, 40),
            MowUntil = new LocalTime(12, 20),
        };
        var advice = maker.Decide();
        Assert.Equal((maker.At("09:40"), maker.At("12:20")), (advice.From, advice.Until));
    }

    [Fact]
    public void Too_late_for_a_whole_mowing_is_not_today()
    {
        var maker = new MorningMaker(now: "19:30");
        Assert.Equal(MowingVerdict.NotToday, maker.Decide().Verdict);
        maker.Lawn = maker.Lawn with { MowingTime = Duration.FromMinutes(20) };
        Assert.Equal(MowingVerdict.MowNow, maker.Decide().Verdict);
    }

    // Little Rock, 9 December: sunrise 7:04, sunset 16:58 by the US Naval Observatory's tables (from memory, unverified).
    [Fact]
    public void The_window_lies_between_sunrise_and_sunset()
    {
        var maker = InventedMornings.OverseededWinter().Mowed(40);
        maker.Lawn = maker.Lawn with { MowFrom = new(5, 0), MowUntil = new(22, 0) };
        var advice = maker.Decide();
        Assert.Equal((maker.At("07:15"), maker.At("16:45")), (advice.From, advice.Until));
    }

    [Fact]
    public void Dormant_turf_needs_no_mowing()
    {
        var advice = InventedMornings.Dormant().Decide();
        Assert.Equal(MowingVerdict.NotToday, advice.Verdict);
        Assert.Equal(DormantRule.Id, Assert.Single(advice.Reasons).Rule);
    }

    [Fact]
    public void Grass_that_is_not_due_waits_and_says_when()
    {
        var maker = new MorningMaker().Mowed(1);
        var advice = maker.Decide();
        Assert.Equal(MowingVerdict.Wait, advice.Verdict);
        Assert.Null(advice.From);
        Assert.Equal(GrowthNeedRule.Id, advice.Reasons[0].Rule);
        var spare = advice.Reasons.Single(r => r.Rule == "spare-window");
        Assert.Equal("If you want to mow all the same: 7 am to 8 pm.", spare.Text.InUs(maker.Zone));
    }

    [Fact]
    public void Grass_that_is_due_may_be_mown()
    {
        var advice = new MorningMaker().Mowed(8).Decide();
        Assert.Equal(MowingVerdict.MowFrom, advice.Verdict);
        Assert.Contains(
            advice.Reasons,
            r => r is { Rule: GrowthNeedRule.Id, Weight: AdviceWeight.Supports }
        );
    }

    [Fact]
    public void Grass_that_got_away_comes_down_in_steps()
    {
        var finding = GrowthNeedRule.Judge(new MorningMaker().Mowed(13).Build()).Findings[0];
        Assert.Contains("2 cuts", finding.Text.InUs(DateTimeZone.Utc), StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_known_mowing_the_message_says_at_what_height()
    {
        var maker = new MorningMaker();
        Assert.Contains(
            "stands 4.5 in high",
            GrowthNeedRule.Judge(maker.Build()).Findings[0].Text.InUs(maker.Zone),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Without_a_forecast_no_hour_is_named()
    {
        var maker = InventedMornings.Blind();
        var briefing = maker.Briefing();
        Assert.Equal(MowingVerdict.Wait, briefing.Mowing.Verdict);
        Assert.Null(briefing.Mowing.From);
        Assert.Equal(UnseenHoursRule.Id, briefing.Mowing.Reasons[0].Rule);
        Assert.Empty(briefing.Hours);
        Assert.Empty(briefing.Cautions);
    }

    [Fact]
    public void A_forecast_that_is_missing_is_not_replaced_by_old_hours()
    {
        var maker = new MorningMaker();
        maker.Notes = [new(DataSubject.Forecast, "a service", null, DataStanding.Missing, "x")];
        Assert.Null(maker.Decide().From);
    }

    [Theory]
    [InlineData(WeatherColumn.AirTemperatureC)]
    [InlineData(WeatherColumn.PrecipitationProbabilityPercent)]
    public void Hours_beyond_the_horizon_are_never_called_fine(WeatherColumn missing)
    {
        var maker = new MorningMaker().Set(missing, 12, 72, double.NaN);
        if (missing == WeatherColumn.PrecipitationProbabilityPercent)
        {
            maker.Set(WeatherColumn.PrecipitationMm, 12, 72, double.NaN);
        }

        var advice = maker.Decide();
        Assert.Equal(maker.At("12:00"), advice.Until);
        Assert.Contains(advice.Reasons, r => r.Rule == UnseenHoursRule.Id);
    }

    [Fact]
    public void A_site_without_any_hour_still_gets_an_honest_message()
    {
        var maker = new MorningMaker();
        var site = maker.Site() with { Weather = WeatherSeries.Empty };
        var briefing = MorningBriefing.Build(
            maker.Lawn,
            maker.Record,
            site,
            new(WeatherSeries.Empty, [], []),
            maker.Now,
            maker.Date
        );
        Assert.Equal(MowingVerdict.Wait, briefing.Mowing.Verdict);
        Assert.Empty(briefing.Facts);
    }
}
