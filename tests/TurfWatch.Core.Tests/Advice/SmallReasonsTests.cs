using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class SmallReasonsTests
{
    // In May the sun takes an hour of the owner's thirteen: true, but not why one mows today.
    [Fact]
    public void Daylight_that_cuts_little_of_the_hours_is_not_told_first()
    {
        var maker = new MorningMaker(now: "05:00").Mowed(40);
        maker.Lawn = maker.Lawn with { MowFrom = new(5, 30) };
        var reasons = maker.Decide().Reasons;
        Assert.Equal(AdviceWeight.Supports, reasons[0].Weight);
        var daylight = Assert.Single(reasons, r => r.Rule == DaylightRule.Id);
        Assert.Equal(AdviceWeight.Informs, daylight.Weight);
        Assert.True(
            reasons.IndexOf(daylight)
                > reasons.IndexOf(reasons.Single(r => r.Rule == GrowthNeedRule.Id))
        );
    }

    [Fact]
    public void Daylight_that_cuts_much_of_the_hours_is_still_told_among_the_first()
    {
        var maker = new MorningMaker(new LocalDate(2026, 5, 13), "03:00").Mowed(40);
        maker.Lawn = maker.Lawn with { MowFrom = new(3, 0), MowUntil = new(10, 0) };
        var daylight = Assert.Single(maker.Decide().Reasons, r => r.Rule == DaylightRule.Id);
        Assert.Equal(AdviceWeight.Limits, daylight.Weight);
    }

    // 0.15 mm is six thousandths of an inch.
    [Theory]
    [InlineData(0.15, UnitSystem.UsCustomary, "a trace of dew")]
    [InlineData(0.30, UnitSystem.UsCustomary, "0.01 in")]
    [InlineData(0.15, UnitSystem.Metric, "0.01 in")]
    public void Little_dew_is_a_trace(double mm, UnitSystem units, string told)
    {
        var maker = new MorningMaker().DewUntil(100, 100, 50, 0);
        maker.Lawn = maker.Lawn with { Units = units };
        Array.Fill(maker.Dew, mm);
        Array.Fill(maker.LeafWater, mm);
        var dew = Assert.Single(
            MorningFacts.Of(maker.Build()),
            f => f.Label.Format == "Dew on the leaves"
        );
        Assert.Equal(told, dew.Value.InUs(maker.Zone));
    }
}
