using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class MowingTaskTests
{
    [Fact]
    public void A_lawn_that_falls_due_this_week_is_told_between_which_days()
    {
        var maker = new LawnYearMaker().Journal(JournalKind.Mowed, 4);
        var task = Assert.Single(MowingTask.Of(maker.Build()));
        var need = Morning.Of(maker.Build()).Need;
        Assert.True(need.DueEarliest > maker.Date);
        Assert.Equal(
            $"Mow the tall fescue between {Day(need.DueEarliest!.Value)} and {Day(need.DueLatest!.Value)}",
            task.Title.InUs(maker.Morning.Zone)
        );
        Assert.Contains(
            "Set the mower to 3 in",
            task.Steps[0].InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void A_slow_lawn_just_mown_has_no_task()
    {
        var maker = new LawnYearMaker().Journal(JournalKind.Mowed, 0);
        maker.Morning.Lawn = maker.Morning.Lawn with { Grass = GrassKind.FineFescue };
        Assert.Empty(MowingTask.Of(maker.Build()));
    }

    // The one-third rule: no step takes more than a third, the last ends at the height of cut.
    [Fact]
    public void A_lawn_that_got_away_comes_down_in_steps_with_days_between()
    {
        var maker = new LawnYearMaker().Journal(JournalKind.Mowed, 25);
        var need = Morning.Of(maker.Build()).Need;
        Assert.True(need.HeightCm > 1.5 * need.DueHeightCm);
        var steps = OneThirdRule.Steps(need.HeightCm, need.SetHeightCm);
        Assert.True(steps.Length >= 2);
        var before = need.HeightCm;
        foreach (var step in steps)
        {
            Assert.True(step >= before * 2 / 3 - 1e-9);
            before = step;
        }

        Assert.Equal(need.SetHeightCm, steps[^1], 9);
        var task = Assert.Single(MowingTask.Of(maker.Build()));
        Assert.Equal("Mow the tall fescue now", task.Title.InUs(maker.Morning.Zone));
        Assert.StartsWith("First cut: down to", task.Steps[0].Format, StringComparison.Ordinal);
        Assert.StartsWith(
            "3 days or more after that",
            task.Steps[1].InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Without_a_mowing_in_the_journal_the_height_is_told_and_no_date()
    {
        var task = Assert.Single(MowingTask.Of(new LawnYearMaker().Build()));
        Assert.Equal(
            "Mow when the tall fescue stands 4.5 in",
            task.Title.InUs(new LawnYearMaker().Morning.Zone)
        );
    }

    [Fact]
    public void Grass_at_rest_has_none()
    {
        var maker = new LawnYearMaker(new LocalDate(2026, 1, 20));
        maker.Morning.Lawn = maker.Morning.Lawn with { Grass = GrassKind.Bermuda };
        Array.Fill(maker.Morning.Soil10, 6);
        Assert.Empty(MowingTask.Of(maker.Build()));
    }

    [Fact]
    public void An_owner_who_mows_low_in_the_heat_is_asked_to_raise_the_mower()
    {
        var maker = new LawnYearMaker(new LocalDate(2026, 7, 13)).Journal(JournalKind.Mowed, 0);
        Array.Fill(maker.Morning.Soil10, 27);
        maker.Morning.Lawn = maker.Morning.Lawn with { MowingHeightCm = 7.62 };
        var task = Assert.Single(MowingTask.Of(maker.Build()));
        Assert.Equal("Raise the mower to 3.5 in", task.Title.InUs(maker.Morning.Zone));
        Assert.Equal(GrowthNeedRule.HeightId, task.Why.Rule, StringComparer.Ordinal);
    }

    [Fact]
    public void The_mowing_of_the_week_is_told_at_the_raised_height()
    {
        var maker = new LawnYearMaker(new LocalDate(2026, 7, 13)).Journal(JournalKind.Mowed, 9);
        Array.Fill(maker.Morning.Soil10, 27);
        maker.Morning.Lawn = maker.Morning.Lawn with { MowingHeightCm = 7.62 };
        var tasks = MowingTask.Of(maker.Build()).ToList();
        Assert.Equal(2, tasks.Count);
        Assert.Contains(
            "3.5 in",
            tasks[0].Steps[0].InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    // Rye sown over bermuda, kept at 2.25 in, has its first cut at 3 in; an earlier mowing of the bermuda says nothing.
    [Fact]
    public void New_rye_has_its_first_cut_a_third_above_its_height()
    {
        var maker = NewRye(sownDaysAgo: 20);
        var need = Morning.Of(maker.Build()).Need;
        Assert.True(need.FirstCut);
        Assert.Equal(3 * 2.54, need.DueHeightCm, 9);
        Assert.Equal(2.25 * 2.54, need.SetHeightCm, 9);
        // Up after 7 days: grown for 13 at no more than 0.54 x 1.
        Assert.InRange(need.HeightCm, 0.5, 13 * 0.54);
        var briefing = maker.Morning.Briefing();
        Assert.Contains(
            briefing.Mowing.Reasons,
            r => r.Text.Format.Contains("first cut", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Rye_that_is_not_up_yet_has_no_height()
    {
        var need = Morning.Of(NewRye(sownDaysAgo: 3).Build()).Need;
        Assert.Equal(0, need.HeightCm);
        Assert.True(GrowthNeedRule.NotYet(Morning.Of(NewRye(sownDaysAgo: 3).Build())));
    }

    [Fact]
    public void Nobody_is_told_hours_to_mow_new_seed_in()
    {
        var briefing = NewRye(sownDaysAgo: 3).Morning.Briefing();
        Assert.Equal(MowingVerdict.NotToday, briefing.Mowing.Verdict);
        Assert.DoesNotContain(briefing.Hours, h => h.Mowable);
        Assert.Contains(briefing.Hours, h => h.Note == "new seed");
        Assert.DoesNotContain(briefing.Mowing.Reasons, r => r.Rule == "spare-window");
        Assert.DoesNotContain(
            briefing.Facts,
            f => f.Label.Format.Contains("Grass height", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void The_day_it_came_up_counts_when_the_journal_knows_it()
    {
        var late = NewRye(sownDaysAgo: 20).Journal(JournalKind.Germinated, 6);
        Assert.True(
            Morning.Of(late.Build()).Need.HeightCm
                < Morning.Of(NewRye(sownDaysAgo: 20).Build()).Need.HeightCm
        );
    }

    [Fact]
    public void After_the_first_cut_the_ordinary_rule_holds()
    {
        var need = Morning.Of(NewRye(sownDaysAgo: 30).Journal(JournalKind.Mowed, 2).Build()).Need;
        Assert.False(need.FirstCut);
        Assert.Equal(1.5 * need.SetHeightCm, need.DueHeightCm, 9);
    }

    [Fact]
    public void Seed_among_old_grass_is_a_caution_not_a_ban()
    {
        var maker = new MorningMaker().Mowed(25);
        maker.Record = new([
            .. maker.Record.Entries,
            new(0, JournalKind.Seeded, maker.Date.PlusDays(-15), null),
        ]);
        var advice = maker.Decide();
        Assert.Equal(MowingVerdict.MowFrom, advice.Verdict);
        Assert.Contains(
            advice.Reasons,
            r =>
                r.Weight == AdviceWeight.Cautions
                && r.Text.Format.StartsWith("Where you sowed", StringComparison.Ordinal)
        );
    }

    private static LawnYearMaker NewRye(int sownDaysAgo)
    {
        var maker = new LawnYearMaker(new LocalDate(2026, 10, 28));
        Array.Fill(maker.Morning.Soil10, 15);
        maker.Before(d => d.Soil10CmC, 15);
        maker.Morning.Lawn = maker.Morning.Lawn with
        {
            Grass = GrassKind.Bermuda,
            Overseed = GrassKind.PerennialRyegrass,
            MowingHeightCm = 2.54,
        };
        return maker
            .Journal(JournalKind.Mowed, sownDaysAgo + 1, 2)
            .Journal(JournalKind.Seeded, sownDaysAgo, 48);
    }

    private static string Day(LocalDate date) =>
        date.ToString("ddd MMM d", System.Globalization.CultureInfo.InvariantCulture);
}
