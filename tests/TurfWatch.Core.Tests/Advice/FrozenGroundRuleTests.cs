using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

// No traffic on frozen ground: common practice, no source.
public sealed class FrozenGroundRuleTests
{
    [Fact]
    public void Frozen_ground_blocks_the_day()
    {
        var maker = Rye();
        Array.Fill(maker.Soil5, -1);
        var finding = Assert.Single(FrozenGroundRule.Judge(maker.Build()).Findings);
        Assert.Equal(AdviceWeight.Blocks, finding.Weight);
        Assert.Equal("The ground is frozen: keep wheels off it.", finding.Text.InUs(maker.Zone));
    }

    [Theory]
    [InlineData(0.0, 3, true)]
    [InlineData(0.5, 3, false)]
    [InlineData(1.5, -4, true)]
    [InlineData(2.5, -4, false)]
    [InlineData(double.NaN, -4, false)]
    public void Soil_at_zero_is_frozen_and_a_little_above_it_after_a_day_of_frost(
        double soilC,
        double airC,
        bool frozen
    )
    {
        var maker = Rye();
        Array.Fill(maker.Soil5, soilC);
        maker[WeatherColumn.AirTemperatureC].Fill(airC);
        Assert.Equal(frozen, FrozenGroundRule.Judge(maker.Build()).Holds.Length > 0);
    }

    [Fact]
    public void Ground_that_thawed_on_top_over_frost_below_bears_no_wheels()
    {
        var maker = Rye().Mowed(40);
        Array.Fill(maker.Soil5, 1);
        Array.Fill(maker.Soil10, -0.2);
        var briefing = maker.Briefing();
        Assert.Equal(MowingVerdict.NotToday, briefing.Mowing.Verdict);
        var finding = briefing.Mowing.Reasons.Single(r => r.Rule == FrozenGroundRule.Id);
        Assert.Equal(
            "The ground is thawed on top and frozen below: the turf slides on it and roots tear, so keep wheels off.",
            finding.Text.InUs(maker.Zone)
        );
    }

    [Theory]
    [InlineData(1, 0, true)]
    [InlineData(1, 0.2, false)]
    [InlineData(1, double.NaN, false)]
    [InlineData(4.5, -0.2, false)]
    public void Frost_below_counts_while_the_top_is_near_freezing(
        double top,
        double below,
        bool frozen
    )
    {
        var maker = Rye();
        Array.Fill(maker.Soil5, top);
        Array.Fill(maker.Soil10, below);
        Assert.Equal(frozen, FrozenGroundRule.Judge(maker.Build()).Holds.Length > 0);
    }

    // The leftover that this rule was written for: winter rye over soil at the freezing point, no frost on the leaves.
    [Fact]
    public void No_hour_is_called_fine_on_frozen_ground()
    {
        var maker = Rye().Mowed(40);
        Array.Fill(maker.Soil5, 0);
        var briefing = maker.Briefing();
        Assert.Equal(MowingVerdict.NotToday, briefing.Mowing.Verdict);
        Assert.DoesNotContain(briefing.Hours, h => h.Mowable);
        Assert.Equal("No mowing today: the ground is frozen", briefing.Subject.InUs(maker.Zone));
    }

    [Fact]
    public void Ground_that_thaws_opens_the_day()
    {
        var maker = Rye();
        maker.Set(maker.Soil5, -240, 11, -0.5);
        var briefing = maker.Briefing();
        Assert.Equal(maker.At("11:00"), briefing.Mowing.From);
        Assert.Contains(
            "the ground should have thawed by then",
            briefing.Headline.InUs(maker.Zone),
            StringComparison.Ordinal
        );
    }

    // Dry, mild and windless of frost; only the soil is cold.
    private static MorningMaker Rye()
    {
        var maker = new MorningMaker(new LocalDate(2026, 1, 20), "08:00");
        maker.Lawn = maker.Lawn with
        {
            Grass = GrassKind.Bermuda,
            Overseed = GrassKind.PerennialRyegrass,
        };
        maker[WeatherColumn.AirTemperatureC].Fill(6);
        Array.Fill(maker.Canopy, 6);
        Array.Fill(maker.Soil10, 3);
        Array.Fill(maker.Soil5, 3);
        return maker;
    }
}
