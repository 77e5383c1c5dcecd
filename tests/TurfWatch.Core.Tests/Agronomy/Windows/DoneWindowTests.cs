using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Agronomy.Windows;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

/// <summary>What the journal says was done makes its window done, and holds back what does not go with it.</summary>
public sealed class DoneWindowTests
{
    [Theory]
    [InlineData(JournalKind.PreEmergent, WindowKind.CrabgrassPreEmergent, 2, 20)]
    [InlineData(JournalKind.PreEmergent, WindowKind.WinterWeedPreEmergent, 10, 5)]
    [InlineData(JournalKind.Aerated, WindowKind.CoreAeration, 6, 10)]
    [InlineData(JournalKind.Dethatched, WindowKind.Dethatching, 6, 10)]
    public void A_window_is_done_from_the_day_on_record_to_the_end_of_its_season(
        JournalKind did,
        WindowKind kind,
        int month,
        int day
    )
    {
        var on = new LocalDate(2026, month, day);
        WindowStanding On(LocalDate today) =>
            new YearMaker(Town.Atlanta, today).Noted(did, on).Window(kind).Standing;

        Assert.NotEqual(WindowStanding.Done, On(on.PlusDays(-1)));
        Assert.Equal(WindowStanding.Done, On(on));
        Assert.Equal(WindowStanding.Done, On(on.PlusDays(20)));
        // The next season asks anew.
        Assert.NotEqual(WindowStanding.Done, On(on.PlusYears(1).PlusDays(-1)));
    }

    [Theory]
    [InlineData(JournalKind.PreEmergent, WindowKind.CrabgrassPreEmergent, 3, 10)]
    [InlineData(JournalKind.PreEmergent, WindowKind.WinterWeedPreEmergent, 10, 5)]
    [InlineData(JournalKind.Aerated, WindowKind.CoreAeration, 6, 10)]
    [InlineData(JournalKind.Dethatched, WindowKind.Dethatching, 6, 10)]
    public void A_done_window_says_since_when_and_asks_for_nothing_more(
        JournalKind did,
        WindowKind kind,
        int month,
        int day
    )
    {
        var on = new LocalDate(2026, month, day);
        var window = new YearMaker(Town.Atlanta, on.PlusDays(3)).Noted(did, on).Window(kind);

        Assert.Contains(window.Why, w => w.Text.Arguments.Contains(on));
        Assert.DoesNotContain(window.Why, w => w.Weight == AdviceWeight.Blocks);
        if (did == JournalKind.PreEmergent)
        {
            Assert.Empty(window.Steps);
        }
    }

    [Fact]
    public void A_deed_of_another_kind_makes_no_window_done()
    {
        var today = new LocalDate(2026, 6, 10);
        var windows = new YearMaker(Town.Atlanta, today)
            .Noted(JournalKind.Aerated, today)
            .Windows();
        Assert.Equal(
            [WindowKind.CoreAeration],
            windows.Where(w => w.Standing == WindowStanding.Done).Select(w => w.Kind)
        );
    }

    // "Never if you are planning to overseed": extension column, Augusta GA, 2008. The days are common practice, no source.
    [Theory]
    [InlineData(1, WindowStanding.Withheld)]
    [InlineData(90, WindowStanding.Withheld)]
    [InlineData(91, WindowStanding.Open)]
    public void A_pre_emergent_on_record_holds_the_overseeding_back(
        int daysAgo,
        WindowStanding standing
    )
    {
        var today = new LocalDate(2026, 10, 5);
        var put = today.PlusDays(-daysAgo);
        var maker = YearMaker.Rye(Town.ElPaso, today);
        Assert.Equal(WindowStanding.Open, maker.Window(WindowKind.Overseed).Standing);

        var window = maker.Noted(JournalKind.PreEmergent, put).Window(WindowKind.Overseed);

        Assert.Equal(standing, window.Standing);
        Assert.Equal(standing == WindowStanding.Withheld, window.Steps.IsEmpty);
        Assert.Equal(
            standing == WindowStanding.Withheld,
            window.Why.Any(w => w.Weight == AdviceWeight.Blocks && w.Text.Arguments.Contains(put))
        );
    }

    [Fact]
    public void A_pre_emergent_on_record_holds_cool_season_seed_back_too()
    {
        var today = new LocalDate(2026, 9, 5);
        var maker = YearMaker.Of(Town.Lafayette, today, GrassKind.TallFescue);
        Assert.Equal(WindowStanding.Open, maker.Window(WindowKind.CoolSeasonSeeding).Standing);

        maker.Noted(JournalKind.PreEmergent, today.PlusDays(-PreEmergent.StopsSeedDays));
        Assert.Equal(WindowStanding.Withheld, maker.Window(WindowKind.CoolSeasonSeeding).Standing);
    }

    [Fact]
    public void A_spring_pre_emergent_says_nothing_of_the_fall_and_one_late_in_summer_does()
    {
        var spring = YearMaker
            .Rye(Town.ElPaso, new(2026, 5, 1))
            .Noted(JournalKind.PreEmergent, new(2026, 3, 1));
        Assert.Equal(WindowStanding.Ahead, spring.Window(WindowKind.Overseed).Standing);
        var summer = YearMaker
            .Rye(Town.ElPaso, new(2026, 8, 20))
            .Noted(JournalKind.PreEmergent, new(2026, 8, 19));
        Assert.Equal(WindowStanding.Withheld, summer.Window(WindowKind.Overseed).Standing);
    }

    [Fact]
    public void Who_sowed_all_the_same_has_sown()
    {
        var today = new LocalDate(2026, 10, 5);
        var maker = YearMaker
            .Rye(Town.ElPaso, today)
            .Noted(JournalKind.PreEmergent, today.PlusDays(-20))
            .Noted(JournalKind.Seeded, today.PlusDays(-1));
        Assert.Equal(WindowStanding.Done, maker.Window(WindowKind.Overseed).Standing);
    }
}
