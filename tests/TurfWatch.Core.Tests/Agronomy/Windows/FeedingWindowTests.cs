using NodaTime;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

/// <summary>The feedings: rye, last fall, summer, cool-season fall; the record, the ceiling and the law.</summary>
public sealed class FeedingWindowTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;

    private static readonly LocalDate Sown = new(2026, 10, 1);
    private static readonly LocalDate Up = new(2026, 10, 8);

    [Fact]
    public void The_first_rye_feeding_opens_two_weeks_after_the_rye_is_up()
    {
        var window = Rye(new(2026, 10, 23)).Window(WindowKind.FirstRyeFeeding);

        Assert.Equal(WindowStanding.Open, window.Standing);
        Assert.Equal(DateSpread.On(Up.PlusDays(14)), window.Opens);
        Assert.Equal(DateSpread.On(Up.PlusDays(35)), window.Closes);
        Assert.Equal(GrassKind.PerennialRyegrass, window.Grass);
        Assert.NotEmpty(window.Amounts);
    }

    // Four weeks between feedings: common practice, no source.
    [Theory]
    [InlineData(40, WindowStanding.Open)]
    [InlineData(24, WindowStanding.Ahead)]
    [InlineData(2, WindowStanding.Withheld)]
    public void A_late_fall_feeding_waits_four_weeks_for_the_one_before(
        int days,
        WindowStanding standing
    )
    {
        var opens = Late(new(2026, 10, 20)).Window(WindowKind.LateFallFeeding).Opens.Median!.Value;
        var today = opens.PlusDays(1);
        var fed = opens.PlusDays(-days);
        var window = Late(today).Noted(JournalKind.Fed, fed, Lb).Window(WindowKind.LateFallFeeding);
        Assert.Equal(standing, window.Standing);
        if (standing == WindowStanding.Ahead)
        {
            Assert.Equal(fed.PlusWeeks(4), window.Opens.Median);
            Assert.True(window.Opens.Median < window.Closes!.Median);
        }

        Assert.Equal(
            days < 28,
            window.Why.Any(f => f.Text.Format.Contains("four weeks", StringComparison.Ordinal))
        );

        static YearMaker Late(LocalDate on) =>
            YearMaker.Of(Town.Lafayette, on, GrassKind.KentuckyBluegrass);
    }

    [Fact]
    public void A_window_that_closed_is_not_held_back_by_a_feeding_after_it()
    {
        var closes = Late(new(2026, 10, 10))
            .Window(WindowKind.CoolFallFeeding)
            .Closes!.Median!.Value;
        var maker = Late(closes.PlusDays(4)).Noted(JournalKind.Fed, closes.PlusDays(2), 0.5 * Lb);
        Assert.Equal(WindowStanding.Closed, maker.Window(WindowKind.CoolFallFeeding).Standing);

        static YearMaker Late(LocalDate on) =>
            YearMaker.Of(Town.Lafayette, on, GrassKind.KentuckyBluegrass);
    }

    [Fact]
    public void Without_a_sowing_on_record_it_is_reckoned_from_the_best_dates_and_says_so()
    {
        var window = YearMaker.Rye(Town.ElPaso, new(2026, 9, 1)).Window(WindowKind.FirstRyeFeeding);

        Assert.Equal(WindowStanding.Ahead, window.Standing);
        Assert.Contains(
            window.Why,
            f => f.Text.Format.Contains("No sowing is on record", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Monthly_feedings_follow_four_weeks_apart_from_the_first_on_record()
    {
        var fed = new LocalDate(2026, 10, 26);
        var maker = Rye(new(2026, 11, 1)).Noted(JournalKind.Fed, fed, 0.5 * Lb);

        Assert.Equal(WindowStanding.Done, maker.Window(WindowKind.FirstRyeFeeding).Standing);
        var months = maker.Windows().Where(w => w.Kind == WindowKind.RyeFeeding).ToArray();
        Assert.NotEmpty(months);
        Assert.Equal([.. Enumerable.Range(1, months.Length)], months.Select(w => w.Ordinal));
        Assert.All(months, w => Assert.True(w.Opens.Median >= fed.PlusDays(28 * w.Ordinal)));
    }

    [Fact]
    public void No_rye_is_fed_in_the_last_five_weeks_before_green_up()
    {
        var maker = Rye(new(2026, 11, 1));
        var greenUp = YearMaker
            .Rye(Town.ElPaso, new(2027, 1, 10))
            .Window(WindowKind.GreenUp)
            .Closes!.Median!.Value;

        Assert.All(
            maker.Windows().Where(w => w.Kind == WindowKind.RyeFeeding),
            w => Assert.True(w.Closes!.Median < greenUp.PlusDays(-28))
        );
    }

    // Texas AgriLife: 1 to 2 lb of nitrogen on 1,000 sq ft over the winter.
    [Fact]
    public void When_two_pounds_have_been_given_the_rest_of_the_winter_is_withheld()
    {
        var maker = Rye(new(2026, 12, 1))
            .Noted(JournalKind.Fed, new(2026, 10, 26), Lb)
            .Noted(JournalKind.Fed, new(2026, 11, 20), Lb);

        Assert.All(
            maker
                .Windows()
                .Where(w => w.Kind == WindowKind.RyeFeeding && w.Opens.Median > maker.Date),
            w => Assert.Equal(WindowStanding.Withheld, w.Standing)
        );
    }

    [Fact]
    public void In_a_month_too_cold_to_grow_rye_is_not_fed()
    {
        var maker = YearMaker
            .Rye(Town.Atlanta, new(2026, 11, 1))
            .Noted(JournalKind.Seeded, Sown)
            .Noted(JournalKind.Germinated, Up);
        // A winter of 2 °C from December on: growth potential exp(-0.5 (18/5.5)²) = 0.005.
        var day = maker.Date;
        maker.Outlook = maker.Outlook with
        {
            Traces =
            [
                new(
                    2025,
                    MadeOutlook.Days(
                        day,
                        365,
                        d => d.Month is 12 or 1 or 2 ? 2 : 12,
                        d => d.Month is 12 or 1 or 2 ? 3 : 11
                    )
                ),
            ],
        };

        Assert.Contains(
            maker.Windows(),
            w =>
                w is { Kind: WindowKind.RyeFeeding, Standing: WindowStanding.Withheld }
                && w.Why.Any(f => f.Text.Format.Contains("Too cold", StringComparison.Ordinal))
        );
    }

    [Fact]
    public void A_lawn_without_rye_has_no_rye_feedings()
    {
        Assert.DoesNotContain(
            new YearMaker(Town.ElPaso, new(2026, 11, 1)).Windows(),
            w => w.Kind is WindowKind.RyeFeeding or WindowKind.FirstRyeFeeding
        );
    }

    // University of Florida (Dunning 2018): no nitrogen later than eight weeks before the average first frost.
    [Fact]
    public void The_last_fall_feeding_gives_nitrogen_until_eight_weeks_before_the_usual_freeze_and_none_after()
    {
        var freeze = UsualFreeze.First(Town.Atlanta.Climate()).Median!.Value.In(2026);
        var before = new YearMaker(Town.Atlanta, freeze.PlusDays(-57)).Window(
            WindowKind.FinalFallFeeding
        );
        var after = new YearMaker(Town.Atlanta, freeze.PlusDays(-50)).Window(
            WindowKind.FinalFallFeeding
        );

        Assert.Contains(before.Standing, new[] { WindowStanding.Open, WindowStanding.ClosingSoon });
        Assert.Contains(before.Amounts, a => Starts(a, "Nitrogen"));
        Assert.DoesNotContain(after.Amounts, a => Starts(a, "Nitrogen"));
        Assert.Contains(after.Amounts, a => a.Format.Contains("0-0-60", StringComparison.Ordinal));
        Assert.Equal(freeze.PlusDays(-70), before.Opens.Median);
    }

    [Fact]
    public void The_last_fall_feeding_names_the_sources_for_and_against()
    {
        var window = new YearMaker(Town.Atlanta, new(2026, 9, 1)).Window(
            WindowKind.FinalFallFeeding
        );

        foreach (var source in new[] { "Florida", "Clemson", "Georgia", "Missouri", "LSU" })
        {
            Assert.Contains(window.Why, f => f.Source.Contains(source, StringComparison.Ordinal));
        }

        Assert.Contains(
            window.Why,
            f => f.Text.Format.Contains("disagree", StringComparison.Ordinal)
        );
    }

    // Common practice, no source: it is over before the rye is sown, four to six weeks or more before dormancy.
    [Fact]
    public void On_an_overseeded_lawn_it_is_over_before_the_rye_is_sown()
    {
        foreach (var town in new[] { Town.ElPaso, Town.Phoenix, Town.Atlanta })
        {
            var maker = YearMaker.Rye(town, new(2026, 7, 15));
            var last = maker.Window(WindowKind.FinalFallFeeding);
            var best = maker.Window(WindowKind.Overseed).Best!;
            var rest = maker.Window(WindowKind.Dormancy).Opens.Median!.Value;

            Assert.True(last.Closes!.Median < best.Median!.Value.PlusDays(-14));
            Assert.True(last.Closes.Median <= rest.PlusDays(-28));
            Assert.True(last.Opens.Median < last.Closes.Median);
        }
    }

    [Fact]
    public void A_feeding_on_record_makes_it_done()
    {
        var opens = new YearMaker(Town.Atlanta, new(2026, 9, 1))
            .Window(WindowKind.FinalFallFeeding)
            .Opens.Median!.Value;
        var maker = new YearMaker(Town.Atlanta, opens.PlusDays(9)).Noted(
            JournalKind.Fed,
            opens.PlusDays(3),
            2.4
        );

        Assert.Equal(WindowStanding.Done, maker.Window(WindowKind.FinalFallFeeding).Standing);
    }

    [Fact]
    public void A_feeding_of_the_rye_is_none_of_the_bermudagrass()
    {
        var opens = YearMaker
            .Rye(Town.ElPaso, new(2026, 7, 15))
            .Window(WindowKind.FinalFallFeeding)
            .Opens.Median!.Value;
        var maker = YearMaker
            .Rye(Town.ElPaso, opens.PlusDays(9))
            .Noted(JournalKind.Fed, opens.PlusDays(3), 2.4, GrassKind.PerennialRyegrass);

        Assert.NotEqual(WindowStanding.Done, maker.Window(WindowKind.FinalFallFeeding).Standing);
    }

    [Fact]
    public void Summer_feedings_are_parts_of_the_seasons_range_at_least_four_weeks_apart()
    {
        var windows = new YearMaker(Town.Atlanta, new(2027, 3, 1))
            .Windows()
            .Where(w => w.Kind == WindowKind.SummerFeeding)
            .OrderBy(w => w.Ordinal)
            .ToArray();

        Assert.Equal(3, windows.Length);
        Assert.All(
            windows.Zip(windows.Skip(1)),
            p =>
                Assert.True(
                    Period.DaysBetween(p.First.Opens.Median!.Value, p.Second.Opens.Median!.Value)
                        >= 28
                )
        );
        Assert.All(windows, w => Assert.NotEmpty(w.Amounts));
    }

    [Fact]
    public void At_the_seasons_ceiling_no_more_summer_feeding()
    {
        // Bermudagrass: at most 4 lb a season (grasses.json, Texas AgriLife).
        var maker = new YearMaker(Town.Atlanta, new(2026, 7, 20))
            .Noted(JournalKind.Fed, new(2026, 4, 1), 2 * Lb)
            .Noted(JournalKind.Fed, new(2026, 5, 28), 2 * Lb);

        Assert.Equal(WindowStanding.Withheld, maker.Window(WindowKind.SummerFeeding, 3).Standing);
    }

    // Purdue: 1.0 lb in September, 0.5 to 1.0 lb in the first weeks of November.
    [Fact]
    public void In_Indiana_cool_season_lawns_are_fed_in_September_and_early_November()
    {
        var main = Fescue(new(2026, 9, 15)).Window(WindowKind.CoolFallFeeding);
        var late = Fescue(new(2026, 11, 4)).Window(WindowKind.LateFallFeeding);

        Assert.Contains(main.Standing, new[] { WindowStanding.Open, WindowStanding.ClosingSoon });
        Assert.Contains(late.Standing, new[] { WindowStanding.Open, WindowStanding.ClosingSoon });
    }

    // N.J.S.A. 58:10A-62 and Maryland: none from 16 November.
    [Theory]
    [InlineData("NJ")]
    [InlineData("MD")]
    public void Where_the_law_stops_on_15_November_a_window_ends_on_it_and_says_so(string state)
    {
        var maker = Fescue(new(2026, 10, 28));
        maker.Lawn = maker.Lawn with { Place = maker.Lawn.Place with { State = state } };

        var window = maker.Window(WindowKind.LateFallFeeding);

        Assert.True(window.Closes!.Latest <= new LocalDate(2026, 11, 15));
        var free = Fescue(new(2026, 10, 28)).Window(WindowKind.LateFallFeeding);
        Assert.True(free.Closes!.Latest > new LocalDate(2026, 11, 15));
        Assert.Contains(window.Why, f => f.Rule == "fertilizer-law");
        Assert.DoesNotContain(free.Why, f => f.Rule == "fertilizer-law");
    }

    [Fact]
    public void Where_the_law_takes_the_whole_window_it_is_withheld()
    {
        // Growth ends in December in Georgia's climate; New Jersey's law begins in November.
        var maker = YearMaker.Of(Town.Atlanta, new(2026, 12, 8), GrassKind.TallFescue);
        maker.Lawn = maker.Lawn with { Place = maker.Lawn.Place with { State = "NJ" } };
        var window = maker.Window(WindowKind.LateFallFeeding);

        Assert.Equal(WindowStanding.Withheld, window.Standing);
        Assert.Empty(window.Amounts);
        Assert.Empty(window.Steps);
        Assert.Contains(
            window.Why,
            f => f is { Rule: "fertilizer-law", Weight: AdviceWeight.Blocks }
        );
    }

    // Maryland: at most 0.9 lb at once.
    [Fact]
    public void The_law_caps_the_amount()
    {
        var maker = Fescue(new(2026, 9, 15));
        maker.Lawn = maker.Lawn with { Place = maker.Lawn.Place with { State = "MD" } };

        var rate = (Quantity)
            maker.Window(WindowKind.CoolFallFeeding).Amounts[0].Arguments.First(a => a is Quantity);

        Assert.Equal(QuantityKind.AreaRate, rate.Kind);
        Assert.True(rate.Value <= 0.9 * Lb + 1e-9);
    }

    [Fact]
    public void Every_feeding_defers_to_the_label_and_the_local_law()
    {
        foreach (var window in Fescue(new(2026, 9, 15)).Windows())
        {
            if (window.Kind is WindowKind.CoolFallFeeding or WindowKind.LateFallFeeding)
            {
                Assert.Contains(
                    window.Cautions,
                    c => c.Format.Contains("label", StringComparison.Ordinal)
                );
                Assert.Contains(
                    window.Cautions,
                    c => c.Format.Contains("rule", StringComparison.Ordinal)
                );
            }
        }
    }

    private static YearMaker Rye(LocalDate date) =>
        YearMaker
            .Rye(Town.ElPaso, date)
            .Noted(JournalKind.Seeded, Sown)
            .Noted(JournalKind.Germinated, Up);

    private static YearMaker Fescue(LocalDate date)
    {
        var maker = YearMaker.Of(Town.Lafayette, date, GrassKind.TallFescue);
        maker.Lawn = maker.Lawn with { Place = maker.Lawn.Place with { State = "IN" } };
        return maker;
    }

    private static bool Starts(Phrase phrase, string with) =>
        phrase.Format.StartsWith(with, StringComparison.Ordinal);
}
