using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

/// <summary>Cool-season seeding, the watch for germination, the two pre-emergents and their conflict with seed.</summary>
public sealed class SeedAndPreEmergentTests
{
    // Purdue advises mid August to mid September for Indiana lawns (from memory, unverified).
    [Fact]
    public void In_Indiana_fescue_is_sown_from_mid_August_to_late_September()
    {
        var maker = YearMaker.Of(Town.Lafayette, new(2026, 7, 1), GrassKind.TallFescue);
        var window = maker.Window(WindowKind.CoolSeasonSeeding);

        Assert.InRange(window.Best!.Earliest!.Value, new LocalDate(2026, 8, 10), new(2026, 9, 1));
        Assert.InRange(window.Best.Latest!.Value, new LocalDate(2026, 9, 5), new(2026, 9, 30));
        Assert.NotEmpty(window.Amounts);
    }

    [Fact]
    public void Bluegrass_comes_up_slowly_and_so_must_be_sown_sooner_than_fescue()
    {
        LocalDate Closes(GrassKind grass) =>
            YearMaker
                .Of(Town.Lafayette, new(2026, 7, 1), grass)
                .Window(WindowKind.CoolSeasonSeeding)
                .Closes!.Median!.Value;

        Assert.True(Closes(GrassKind.KentuckyBluegrass) < Closes(GrassKind.TallFescue));
    }

    // Perennial rye: 5 to 10 days (grasses.json).
    [Theory]
    [InlineData(3, WindowStanding.Ahead)]
    [InlineData(5, WindowStanding.Open)]
    [InlineData(10, WindowStanding.Open)]
    [InlineData(11, WindowStanding.ClosingSoon)]
    [InlineData(24, WindowStanding.Closed)]
    public void New_rye_is_looked_for_after_its_days(int days, WindowStanding standing)
    {
        var sown = new LocalDate(2026, 10, 1);
        var maker = YearMaker.Rye(Town.ElPaso, sown.PlusDays(days)).Noted(JournalKind.Seeded, sown);

        var window = maker.Window(WindowKind.Germination);

        Assert.Equal(standing, window.Standing);
        Assert.Equal(GrassKind.PerennialRyegrass, window.Grass);
        Assert.Equal("Germination:2026", window.Key);
    }

    [Fact]
    public void Rye_that_was_seen_up_is_done_and_tells_how_long_it_took()
    {
        var maker = YearMaker
            .Rye(Town.ElPaso, new(2026, 10, 14))
            .Noted(JournalKind.Seeded, new(2026, 10, 1))
            .Noted(JournalKind.Germinated, new(2026, 10, 8));

        var window = maker.Window(WindowKind.Germination);

        Assert.Equal(WindowStanding.Done, window.Standing);
        Assert.Contains(7, window.Why.Single().Text.Arguments);
    }

    [Fact]
    public void A_second_sowing_in_a_year_is_watched_on_its_own()
    {
        var maker = YearMaker
            .Rye(Town.ElPaso, new(2026, 10, 25))
            .Noted(JournalKind.Seeded, new(2026, 10, 1))
            .Noted(JournalKind.Germinated, new(2026, 10, 8))
            .Noted(JournalKind.Seeded, new(2026, 10, 18));

        Assert.Equal("Germination:2026.2", maker.Window(WindowKind.Germination, 2).Key);
        Assert.Equal(WindowStanding.Open, maker.Window(WindowKind.Germination, 2).Standing);
    }

    [Fact]
    public void A_spring_sowing_on_an_overseeded_lawn_is_of_its_base()
    {
        var maker = YearMaker
            .Rye(Town.ElPaso, new(2026, 6, 10))
            .Noted(JournalKind.Seeded, new(2026, 6, 1));

        Assert.Equal(GrassKind.Bermuda, maker.Window(WindowKind.Germination).Grass);
    }

    [Fact]
    public void Without_a_sowing_nothing_is_watched()
    {
        Assert.DoesNotContain(
            YearMaker.Rye(Town.ElPaso, new(2026, 10, 10)).Windows(),
            w => w.Kind == WindowKind.Germination
        );
    }

    [Theory]
    [InlineData(21.2, WindowStanding.Ahead)]
    [InlineData(21.0, WindowStanding.Open)]
    public void The_pre_emergent_against_winter_weeds_opens_below_70_F(
        double soilC,
        WindowStanding standing
    )
    {
        var day = new LocalDate(2026, 9, 28);
        var maker = new YearMaker(Town.Atlanta, day);
        maker.Outlook = maker.Outlook with
        {
            Past = MadeOutlook.Days(new(2026, 7, 1), 89, _ => 22, _ => soilC),
            SoilErrorC = 0,
        };

        Assert.Equal(standing, maker.Window(WindowKind.WinterWeedPreEmergent).Standing);
    }

    // "Never apply a pre-emergent if you are planning to overseed with ryegrass": extension column, Augusta GA, 2008.
    [Fact]
    public void It_is_withheld_all_fall_on_a_lawn_that_is_overseeded()
    {
        for (var day = new LocalDate(2026, 8, 1); day.Year == 2026; day = day.PlusDays(7))
        {
            var window = YearMaker.Rye(Town.Atlanta, day).Window(WindowKind.WinterWeedPreEmergent);

            Assert.Equal(WindowStanding.Withheld, window.Standing);
            Assert.Empty(window.Steps);
            Assert.Contains(
                window.Why,
                f => f.Text.Format.Contains("never both", StringComparison.Ordinal)
            );
        }
    }

    [Fact]
    public void A_fescue_lawn_that_was_sown_gets_none_and_one_that_was_not_is_warned()
    {
        var day = new LocalDate(2026, 9, 10);
        var sown = YearMaker
            .Of(Town.Lafayette, day, GrassKind.TallFescue)
            .Noted(JournalKind.Seeded, new(2026, 8, 25));
        var plain = YearMaker.Of(Town.Lafayette, day, GrassKind.TallFescue);

        Assert.Equal(
            WindowStanding.Withheld,
            sown.Window(WindowKind.WinterWeedPreEmergent).Standing
        );
        Assert.Contains(
            plain.Window(WindowKind.WinterWeedPreEmergent).Cautions,
            c => c.Format.Contains("Never both", StringComparison.Ordinal)
        );
    }

    // NC State AG-763W: crabgrass comes up at 55 °F at 4 in; the states' advice is to apply at 50 to 55 °F.
    [Theory]
    [InlineData(9.9, WindowStanding.Ahead)]
    [InlineData(10.2, WindowStanding.Open)]
    [InlineData(12.9, WindowStanding.ClosingSoon)]
    [InlineData(15.7, WindowStanding.Closed)]
    public void The_pre_emergent_against_crabgrass_goes_by_50_55_and_60_F(
        double soilC,
        WindowStanding standing
    )
    {
        // A week before 60 °F is usual, so that no crossing comes too early to count.
        var day = new LocalDate(2027, 3, 22);
        var maker = new YearMaker(Town.Atlanta, day);
        maker.Outlook = maker.Outlook with
        {
            Past = MadeOutlook.Days(
                new(2026, 9, 1),
                202,
                _ => 8,
                d => d < new LocalDate(2027, 3, 10) ? 6 : soilC
            ),
            Traces =
            [
                .. Enumerable
                    .Range(2016, 10)
                    .Select(y => new OutlookTrace(
                        y,
                        MadeOutlook.Days(
                            day,
                            300,
                            _ => 15,
                            d => d < day.PlusDays(20) ? soilC : 20 + (0.01 * (y - 2016))
                        )
                    )),
            ],
            SoilErrorC = 0,
        };

        Assert.Equal(standing, maker.Window(WindowKind.CrabgrassPreEmergent).Standing);
    }

    [Fact]
    public void Two_months_after_a_sowing_there_is_no_pre_emergent_against_crabgrass()
    {
        var day = new LocalDate(2027, 3, 20);
        var maker = new YearMaker(Town.Atlanta, day).Noted(JournalKind.Seeded, new(2027, 2, 20));
        var rye = YearMaker.Rye(Town.Atlanta, day).Noted(JournalKind.Seeded, new(2026, 10, 1));

        Assert.Equal(
            WindowStanding.Withheld,
            maker.Window(WindowKind.CrabgrassPreEmergent).Standing
        );
        Assert.NotEqual(
            WindowStanding.Withheld,
            rye.Window(WindowKind.CrabgrassPreEmergent).Standing
        );
    }

    [Fact]
    public void A_warm_week_in_January_is_no_spring()
    {
        // Usual crossing of 50 °F in Atlanta's made-up climate is in February; the week is five weeks before it.
        var day = new LocalDate(2027, 1, 20);
        var maker = YearMaker.Of(Town.Lafayette, day, GrassKind.TallFescue);
        maker.Outlook = maker.Outlook with
        {
            Past = MadeOutlook.Days(new(2026, 9, 1), 141, _ => 8, _ => 13),
            SoilErrorC = 0,
        };

        Assert.Equal(WindowStanding.Ahead, maker.Window(WindowKind.CrabgrassPreEmergent).Standing);
    }
}
