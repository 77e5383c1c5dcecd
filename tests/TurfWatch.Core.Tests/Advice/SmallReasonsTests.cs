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

    // Daylight may take the most of a winter day's hours, and still is not why one mows or waits.
    [Fact]
    public void Daylight_is_told_after_all_that_decides()
    {
        var maker = new MorningMaker(new LocalDate(2026, 5, 13), "03:00")
            .Mowed(40)
            .DewUntil(100, 50, 0);
        maker.Lawn = maker.Lawn with { MowFrom = new(3, 0), MowUntil = new(10, 0) };
        var reasons = maker.Decide().Reasons;
        var first = reasons.Where(r => r.Weight != AdviceWeight.Informs).ToList();
        Assert.Equal(WetLeavesRule.Id, first[0].Rule);
        Assert.Equal(DaylightRule.Id, first[^1].Rule);
        Assert.True(first.Count > 2);
    }

    // 0.15 mm is six thousandths of an inch: no number tells that. A night's dew is seldom more than half a millimetre.
    [Theory]
    [InlineData(0.03, UnitSystem.UsCustomary, "a trace")]
    [InlineData(0.15, UnitSystem.UsCustomary, "light, under a hundredth of an inch")]
    [InlineData(0.22, UnitSystem.UsCustomary, "heavy, about a hundredth of an inch")]
    [InlineData(0.30, UnitSystem.UsCustomary, "0.01 in, heavy")]
    [InlineData(0.03, UnitSystem.Metric, "a trace")]
    [InlineData(0.15, UnitSystem.Metric, "0.01 in, light")]
    public void Dew_is_told_in_words_where_a_number_tells_little(
        double mm,
        UnitSystem units,
        string told
    )
    {
        var maker = Dewy(mm);
        maker.Lawn = maker.Lawn with { Units = units };
        var dew = Assert.Single(
            MorningFacts.Of(maker.Build()),
            f => f.Label.Format == "Dew on the leaves"
        );
        Assert.Equal(told, dew.Value.InUs(maker.Zone));
    }

    [Theory]
    [InlineData(0.03, "a trace of water on the leaves now; even odds of dry at")]
    [InlineData(0.15, "light dew on the leaves now; even odds of dry at")]
    [InlineData(0.22, "heavy dew on the leaves now; even odds of dry at")]
    // The likeliest course has no dew, the odds are even all the same: the odds are told.
    [InlineData(0, "chance of wet leaves now 95 %; even odds of dry at")]
    [InlineData(0.006, "chance of wet leaves now 95 %; even odds of dry at")]
    public void Water_on_the_leaves_does_not_contradict_the_odds(double mm, string told)
    {
        var maker = Dewy(mm);
        var finding = WetLeavesRule.Judge(maker.Build()).Findings[0];
        Assert.StartsWith(told, finding.Evidence.InUs(maker.Zone), StringComparison.Ordinal);
    }

    private static MorningMaker Dewy(double mm)
    {
        var maker = new MorningMaker().DewUntil(95, 95, 50, 0);
        Array.Fill(maker.Dew, mm);
        Array.Fill(maker.LeafWater, mm);
        return maker;
    }
}
