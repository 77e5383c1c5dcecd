using NodaTime;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

public sealed class OverseedTests
{
    // Common practice, no source: far west Texas sows rye around 1 October.
    [Fact]
    public void In_far_west_Texas_the_best_dates_are_around_the_first_of_October()
    {
        var window = YearMaker.Rye(Town.ElPaso, new(2026, 8, 20)).Window(WindowKind.Overseed);

        Assert.Equal(WindowStanding.Ahead, window.Standing);
        Assert.Equal(GrassKind.PerennialRyegrass, window.Grass);
        Assert.InRange(window.Opens.Median!.Value, new LocalDate(2026, 9, 10), new(2026, 9, 30));
        Assert.True(window.Best!.Earliest <= new LocalDate(2026, 10, 1));
        Assert.True(window.Best.Latest >= new LocalDate(2026, 10, 10));
        Assert.InRange(window.Best.Median!.Value, new LocalDate(2026, 9, 25), new(2026, 10, 10));
    }

    // University of Georgia (Waltz): two to four weeks before the average first killing frost, about 10 November in
    // Atlanta (from memory, unverified): 13 to 27 October.
    [Fact]
    public void In_Georgia_it_is_open_two_to_four_weeks_before_the_first_frost()
    {
        foreach (var day in new LocalDate[] { new(2026, 10, 13), new(2026, 10, 27) })
        {
            var window = YearMaker.Rye(Town.Atlanta, day).Window(WindowKind.Overseed);

            Assert.Contains(
                window.Standing,
                new[] { WindowStanding.Open, WindowStanding.ClosingSoon }
            );
        }
    }

    // University of Arizona AZ1683 (Kopec and Umeda 2015): low desert, October.
    [Fact]
    public void In_the_low_desert_the_best_dates_touch_October()
    {
        var window = YearMaker.Rye(Town.Phoenix, new(2026, 9, 1)).Window(WindowKind.Overseed);

        Assert.InRange(window.Best!.Median!.Value, new LocalDate(2026, 10, 1), new(2026, 11, 7));
    }

    // Texas AgriLife (McAfee, Havlak): mid to late October to early November.
    [Fact]
    public void In_north_Texas_it_is_open_from_mid_October_to_early_November()
    {
        foreach (var day in new LocalDate[] { new(2026, 10, 15), new(2026, 11, 5) })
        {
            var window = YearMaker.Rye(Town.Dallas, day).Window(WindowKind.Overseed);

            Assert.Contains(
                window.Standing,
                new[] { WindowStanding.Open, WindowStanding.ClosingSoon }
            );
        }
    }

    [Fact]
    public void It_opens_once_and_closes_once_whatever_the_soil_wobbles()
    {
        var standings = YearMaker
            .Walk(
                new(2026, 8, 20),
                new(2026, 12, 31),
                day => YearMaker.Rye(Town.Atlanta, day),
                WindowKind.Overseed
            )
            .Select(s => s.Standing)
            .ToArray();
        var changes = standings.Where((s, i) => i == 0 || s != standings[i - 1]).ToArray();

        Assert.Equal(
            [
                WindowStanding.Ahead,
                WindowStanding.Open,
                WindowStanding.ClosingSoon,
                WindowStanding.Closed,
            ],
            changes
        );
    }

    [Fact]
    public void It_opens_when_the_five_day_mean_has_fallen_below_75_F()
    {
        // Constant soil either side of 75 °F (23.89 °C): the rule's edge.
        foreach (var (soilC, open) in new[] { (24.0, false), (23.8, true) })
        {
            var maker = YearMaker.Rye(Town.ElPaso, new(2026, 9, 25));
            var outlook = maker.Outlook;
            maker.Outlook = outlook with
            {
                Past = MadeOutlook.Days(new(2026, 7, 1), 86, _ => 26, _ => soilC),
                SoilErrorC = 0,
            };

            Assert.Equal(
                open ? WindowStanding.Open : WindowStanding.Ahead,
                maker.Window(WindowKind.Overseed).Standing
            );
        }
    }

    [Fact]
    public void A_sowing_of_rye_on_record_makes_it_done_and_one_of_last_year_does_not()
    {
        var day = new LocalDate(2026, 10, 10);
        var sown = YearMaker
            .Rye(Town.ElPaso, day)
            .Noted(JournalKind.Seeded, new(2026, 10, 1), grass: GrassKind.PerennialRyegrass);
        var lastYear = YearMaker
            .Rye(Town.ElPaso, day)
            .Noted(JournalKind.Seeded, new(2025, 10, 1), grass: GrassKind.PerennialRyegrass);
        var bermuda = YearMaker
            .Rye(Town.ElPaso, day)
            .Noted(JournalKind.Seeded, new(2026, 8, 5), grass: GrassKind.Bermuda);

        Assert.Equal(WindowStanding.Done, sown.Window(WindowKind.Overseed).Standing);
        Assert.Equal(WindowStanding.Open, lastYear.Window(WindowKind.Overseed).Standing);
        Assert.Equal(WindowStanding.Open, bermuda.Window(WindowKind.Overseed).Standing);
    }

    [Fact]
    public void Without_anything_known_of_this_year_the_usual_dates_hold_and_it_says_so()
    {
        var day = new LocalDate(2026, 10, 10);
        var maker = YearMaker.Rye(Town.ElPaso, day);
        maker.Outlook = Town.ElPaso.Outlook(day, pastDays: 0);

        var window = maker.Window(WindowKind.Overseed);

        Assert.Equal(WindowStanding.Open, window.Standing);
        Assert.Equal(OutlookBasis.ClimateAlone, window.Basis);
        Assert.Contains(window.Why, f => f.Rule == "outlook-basis");
    }

    [Fact]
    public void Without_past_years_and_this_year_nothing_is_said()
    {
        var day = new LocalDate(2026, 10, 10);
        var maker = YearMaker.Rye(Town.ElPaso, day);
        maker.Climate = null;
        maker.Outlook = Town.ElPaso.Outlook(day, pastDays: 0) with
        {
            Traces = [],
            UsualSoil10CmC = [],
        };

        var window = maker.Window(WindowKind.Overseed);

        Assert.Equal(WindowStanding.Unknown, window.Standing);
        Assert.Equal(0, window.Opens.Courses);
        Assert.Contains(window.Why, f => f.Rule == "outlook-basis");
    }

    [Fact]
    public void A_season_goes_on_into_January_and_February_speaks_of_the_next()
    {
        Assert.Equal(
            "Overseed:2026",
            YearMaker.Rye(Town.ElPaso, new(2027, 1, 31)).Window(WindowKind.Overseed).Key
        );
        Assert.Equal(
            "Overseed:2027",
            YearMaker.Rye(Town.ElPaso, new(2027, 2, 1)).Window(WindowKind.Overseed).Key
        );
    }

    [Fact]
    public void Only_a_warm_season_base_with_a_winter_overseed_has_it()
    {
        var day = new LocalDate(2026, 10, 1);

        Assert.DoesNotContain(
            new YearMaker(Town.ElPaso, day).Windows(),
            w => w.Kind == WindowKind.Overseed
        );
        Assert.DoesNotContain(
            YearMaker.Of(Town.Lafayette, day, GrassKind.TallFescue).Windows(),
            w => w.Kind == WindowKind.Overseed
        );
    }

    [Fact]
    public void On_St_Augustine_it_tells_who_advises_against_it()
    {
        var maker = YearMaker.Rye(Town.ElPaso, new(2026, 10, 1));
        maker.Lawn = maker.Lawn with { Grass = GrassKind.StAugustine };

        Assert.Contains(
            maker.Window(WindowKind.Overseed).Cautions,
            c => c.Format.Contains("Arizona and Texas advise against it", StringComparison.Ordinal)
        );
    }
}
