using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

// Event names as the US National Weather Service issues them.
public sealed class HazardsRuleTests
{
    [Theory]
    [InlineData("Tornado Warning", HoldKind.Blocks)]
    [InlineData("Severe Thunderstorm Warning", HoldKind.Blocks)]
    [InlineData("Flash Flood Warning", HoldKind.Blocks)]
    [InlineData("Extreme Heat Warning", HoldKind.Blocks)]
    [InlineData("Excessive Heat Warning", HoldKind.Blocks)]
    [InlineData("Tornado Watch", HoldKind.Care)]
    [InlineData("Severe Thunderstorm Watch", HoldKind.Care)]
    [InlineData("Heat Advisory", HoldKind.Care)]
    [InlineData("Wind Advisory", HoldKind.Care)]
    [InlineData("Red Flag Warning", HoldKind.Care)]
    [InlineData("Air Quality Alert", HoldKind.Care)]
    [InlineData("Rip Current Statement", null)]
    [InlineData("Small Craft Advisory", null)]
    public void A_warning_that_can_hurt_forbids_a_watch_wants_care(string name, HoldKind? kind) =>
        Assert.Equal(kind, HazardsRule.Meaning(new(name, "Severe", null, null, "NWS")));

    // NWS lightning advice: half an hour after the last thunder.
    [Fact]
    public void After_a_storm_warning_half_an_hour_more()
    {
        var maker = new MorningMaker();
        maker.Hazards =
        [
            new(
                "Severe Thunderstorm Warning",
                "Severe",
                maker.At("06:00"),
                maker.At("09:00"),
                "NWS Little Rock"
            ),
        ];
        var advice = maker.Decide();
        Assert.Equal(maker.At("09:30"), advice.From);
        Assert.Equal(HazardsRule.Id, advice.Reasons[0].Rule);
    }

    [Fact]
    public void A_warning_without_an_end_holds_the_day()
    {
        var maker = new MorningMaker();
        maker.Hazards = [new("Flood Warning", "Severe", null, null, "NWS Little Rock")];
        Assert.Equal(MowingVerdict.NotToday, maker.Decide().Verdict);
    }

    [Fact]
    public void A_warning_that_is_over_is_not_told()
    {
        var maker = new MorningMaker();
        maker.Hazards =
        [
            new("Flood Warning", "Severe", maker.At("01:00"), maker.At("05:00"), "NWS"),
        ];
        Assert.Empty(HazardsRule.Judge(maker.Build()).Findings);
    }

    [Theory]
    [InlineData(DataStanding.Missing)]
    [InlineData(DataStanding.Stale)]
    [InlineData(null)]
    public void Warnings_that_could_not_be_read_are_said_to_be_so(DataStanding? standing)
    {
        var maker = new MorningMaker();
        maker.Notes = standing is { } s
            ? [new(DataSubject.Hazards, "a service", maker.At("01:00"), s)]
            : [];
        var finding = Assert.Single(HazardsRule.Judge(maker.Build()).Findings);
        Assert.Equal(AdviceWeight.Cautions, finding.Weight);
        Assert.Contains("look them up", finding.Text.Format, StringComparison.Ordinal);
    }

    [Fact]
    public void Warnings_read_and_none_in_force_is_silence() =>
        Assert.Empty(HazardsRule.Judge(new MorningMaker().Build()).Findings);
}
