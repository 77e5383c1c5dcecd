using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>A mowing that the owner leaves out. The days for which it holds are judgement.</summary>
public sealed class SkippedRuleTests
{
    [Theory]
    [InlineData(0, true)]
    [InlineData(1, true)]
    [InlineData(2, true)]
    [InlineData(3, false)]
    [InlineData(30, false)]
    public void It_is_not_asked_for_again_for_three_days(int daysAgo, bool held)
    {
        var maker = Due();
        Assert.NotEqual(MowingVerdict.NotToday, maker.Briefing().Mowing.Verdict);

        Skip(maker, daysAgo);
        var briefing = maker.Briefing();

        Assert.Equal(held, briefing.Mowing.Verdict == MowingVerdict.NotToday);
        Assert.Equal(held, briefing.Mowing.Reasons.Any(r => r.Rule == SkippedRule.Id));
        Assert.Equal(held, briefing.Offers.IsEmpty);
        if (held)
        {
            Assert.Equal(SkippedRule.Id, briefing.Mowing.Reasons[0].Rule);
            Assert.Equal("No mowing today: you skip this one", briefing.Subject.InUs(maker.Zone));
            Assert.Equal(
                "Leave the mower in today: you skip this one.",
                briefing.Headline.InUs(maker.Zone)
            );
        }
    }

    [Fact]
    public void The_next_chance_is_looked_for_from_the_day_on_which_it_is_asked_again()
    {
        var maker = Due();
        Skip(maker, 0);

        var chance = maker.Briefing().Mowing.Reasons.Single(r => r.Rule == NextChance.Id);

        // Wednesday, May 13, is skipped.
        Assert.Contains("Sat May 16", chance.Text.InUs(maker.Zone), StringComparison.Ordinal);
    }

    [Fact]
    public void A_mowing_since_ends_it()
    {
        var maker = Due();
        Skip(maker, 2);
        maker.Mowed(1);

        Assert.Null(SkippedRule.Until(maker.Record, maker.Date));
    }

    [Fact]
    public void Grass_that_does_not_need_it_yet_is_told_so_and_not_of_the_skipping()
    {
        var maker = new MorningMaker().Mowed(1);
        Skip(maker, 2);

        Assert.DoesNotContain(maker.Briefing().Mowing.Reasons, r => r.Rule == SkippedRule.Id);
    }

    [Fact]
    public void The_digest_names_the_day_from_which_the_mowing_is_asked_again()
    {
        var maker = new LawnYearMaker().Journal(JournalKind.Mowed, 25);
        var until = maker.Date.PlusDays(SkippedRule.Days - 1);
        maker.Journal(JournalKind.MowingSkipped, 1);

        var task = MowingTask.Of(maker.Build()).First();

        Assert.Equal(
            $"Mow the tall fescue from {Phrase.Of($"{until}").InUs(maker.Morning.Zone)} on; you skip the one that is due",
            task.Title.InUs(maker.Morning.Zone)
        );
    }

    private static MorningMaker Due() => new MorningMaker().Mowed(12);

    private static void Skip(MorningMaker maker, int daysAgo) =>
        maker.Record = new([
            .. maker
                .Record.Entries.Add(
                    new(0, JournalKind.MowingSkipped, maker.Date.PlusDays(-daysAgo), null)
                )
                .OrderBy(e => e.Date),
        ]);
}
