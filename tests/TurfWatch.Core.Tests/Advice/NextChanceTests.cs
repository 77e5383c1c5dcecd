using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>What a closed day says of the next; the invented Wednesday has a forecast to Saturday morning's end.</summary>
public sealed class NextChanceTests
{
    [Fact]
    public void A_closed_day_tells_the_owner_s_next_day_and_its_hours()
    {
        var maker = Closed(IsoDayOfWeek.Thursday);
        var briefing = maker.Briefing();
        Assert.Equal(
            "Not one of your mowing days: the next is Thu May 14.",
            briefing.Headline.InUs(maker.Zone)
        );
        Assert.Equal(
            "Next chance: Thu May 14, likely 7 am to 8 pm.",
            Told(briefing)!.Text.InUs(maker.Zone)
        );
        Assert.Equal(AdviceWeight.Informs, Told(briefing)!.Weight);
    }

    [Fact]
    public void A_closed_day_has_no_table_of_hours_and_no_word_on_dew() =>
        Assert.Multiple(
            () => Assert.Empty(Closed(IsoDayOfWeek.Thursday).DewUntil(100, 50, 5).Briefing().Hours),
            () =>
                Assert.DoesNotContain(
                    Closed(IsoDayOfWeek.Thursday).DewUntil(100, 50, 5).Briefing().Mowing.Reasons,
                    r => r.Rule == WetLeavesRule.Id
                )
        );

    [Fact]
    public void A_poor_day_is_passed_over()
    {
        var maker = Closed(IsoDayOfWeek.Thursday, IsoDayOfWeek.Friday)
            .Set(WeatherColumn.PrecipitationProbabilityPercent, 24, 48, 90);
        Assert.Equal(
            "Next chance: Fri May 15, likely 7 am to 8 pm; Thu May 14 does not look fit.",
            Told(maker.Briefing())!.Text.InUs(maker.Zone)
        );
    }

    [Fact]
    public void Only_poor_days_are_told_as_poor()
    {
        var maker = Closed(IsoDayOfWeek.Thursday)
            .Set(WeatherColumn.PrecipitationProbabilityPercent, 24, 48, 90);
        Assert.Equal(
            "Your next mowing day, Thu May 14, does not look fit either.",
            Told(maker.Briefing())!.Text.InUs(maker.Zone)
        );
    }

    [Fact]
    public void Three_days_ahead_no_hour_is_named()
    {
        var maker = Closed(IsoDayOfWeek.Saturday);
        var text = Told(maker.Briefing())!.Text.InUs(maker.Zone);
        Assert.Contains("3 days ahead and can still turn", text, StringComparison.Ordinal);
        Assert.DoesNotContain(" pm", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Beyond_the_forecast_nothing_is_said() =>
        Assert.Null(Told(Closed(IsoDayOfWeek.Monday).Briefing()));

    [Fact]
    public void Grass_that_will_not_be_due_by_then_is_not_sent_for() =>
        Assert.Null(Told(Closed(IsoDayOfWeek.Thursday).Mowed(0).Briefing()));

    [Fact]
    public void The_next_chance_is_never_before_the_grass_is_due()
    {
        var maker = new MorningMaker().Mowed(4);
        maker.Lawn = maker.Lawn with
        {
            MowDays = [IsoDayOfWeek.Thursday, IsoDayOfWeek.Friday, IsoDayOfWeek.Saturday],
        };
        var due = maker.Build().Need.Due!.Value;
        Assert.InRange(due, maker.Date.PlusDays(2), maker.Date.PlusDays(3));
        Assert.Equal(due, Told(maker.Briefing())!.Text.Arguments.OfType<LocalDate>().First());
    }

    [Fact]
    public void A_day_of_rain_tells_the_next_dry_day()
    {
        var maker = new MorningMaker().Set(
            WeatherColumn.PrecipitationProbabilityPercent,
            0,
            24,
            90
        );
        Assert.Equal(
            "Next chance: Thu May 14, likely 7 am to 8 pm.",
            Told(maker.Briefing())!.Text.InUs(maker.Zone)
        );
    }

    [Fact]
    public void A_day_with_a_window_says_nothing_of_the_next() =>
        Assert.Null(Told(new MorningMaker().Briefing()));

    // Bermudagrass shows green at a soil temperature of about 58 °F: Grady Miller, NC State.
    [Fact]
    public void Resting_grass_says_how_far_the_soil_is_from_green_up()
    {
        var maker = InventedMornings.Dormant();
        maker.Set(maker.Soil10, 48, 72, 11);
        var briefing = maker.Briefing();
        var reason = Assert.Single(briefing.Mowing.Reasons);
        Assert.Equal("The bermudagrass is at rest: nothing to mow.", Say(briefing.Headline));
        Assert.Equal("No new leaf before the soil passes 58 °F: 13 °F to go.", Say(reason.Text));
        Assert.Equal(
            "soil 45 °F at 4 in; forecast takes it to 52 °F by Thu Jan 22",
            Say(reason.Evidence)
        );

        string Say(Phrase phrase) => phrase.InUs(maker.Zone);
    }

    private static MorningMaker Closed(params IsoDayOfWeek[] days)
    {
        var maker = new MorningMaker(); // a Wednesday
        maker.Lawn = maker.Lawn with { MowDays = [.. days] };
        return maker;
    }

    private static Finding? Told(Briefing briefing) =>
        briefing.Mowing.Reasons.SingleOrDefault(r => r.Rule == NextChance.Id);
}
