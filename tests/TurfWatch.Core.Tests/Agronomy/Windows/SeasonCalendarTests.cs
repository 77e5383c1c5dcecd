using System.Globalization;
using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

/// <summary>What holds for every window of every lawn on every day.</summary>
public sealed class SeasonCalendarTests
{
    private static readonly (string Name, Func<LocalDate, YearMaker> Make)[] Lawns =
    [
        ("bermudagrass with rye in El Paso", d => YearMaker.Rye(Town.ElPaso, d)),
        ("bermudagrass in Atlanta", d => new YearMaker(Town.Atlanta, d)),
        ("rye in Phoenix", d => YearMaker.Rye(Town.Phoenix, d)),
        ("fescue in Indiana", d => YearMaker.Of(Town.Lafayette, d, GrassKind.TallFescue)),
        ("St. Augustine in Miami", d => YearMaker.Of(Town.Miami, d, GrassKind.StAugustine)),
    ];

    [Fact]
    public void Every_window_is_whole_on_every_fifteenth_day_of_a_year()
    {
        foreach (var (name, make) in Lawns)
        {
            for (
                var day = new LocalDate(2026, 3, 3);
                day < new LocalDate(2027, 3, 3);
                day = day.PlusDays(15)
            )
            {
                var windows = make(day).Windows();
                var keys = windows.Select(w => w.Key).ToArray();
                Assert.Equal(keys.Distinct(), keys);
                foreach (var window in windows)
                {
                    IsWhole(window, $"{name}, {day}, {window.Key}");
                }
            }
        }
    }

    [Fact]
    public void Each_window_of_a_season_goes_one_way_only()
    {
        foreach (var (name, make) in Lawns)
        {
            var last = new Dictionary<string, (WindowStanding Standing, LocalDate Date)>();
            for (
                var day = new LocalDate(2026, 8, 1);
                day < new LocalDate(2027, 8, 1);
                day = day.PlusDays(5)
            )
            {
                foreach (var window in make(day).Windows())
                {
                    if (last.TryGetValue(window.Key, out var before))
                    {
                        Assert.True(
                            Step(window.Standing) >= Step(before.Standing),
                            $"{name}, {window.Key}: {before.Standing} on {before.Date}, {window.Standing} on {day}"
                        );
                    }

                    last[window.Key] = (window.Standing, day);
                }
            }
        }
    }

    [Fact]
    public void Overseeding_and_the_pre_emergent_against_winter_weeds_are_never_open_together()
    {
        for (
            var day = new LocalDate(2026, 8, 1);
            day < new LocalDate(2027, 2, 1);
            day = day.PlusDays(3)
        )
        {
            var open = YearMaker
                .Rye(Town.ElPaso, day)
                .Windows()
                .Where(w => w.Standing is WindowStanding.Open or WindowStanding.ClosingSoon)
                .Select(w => w.Kind)
                .ToArray();

            Assert.DoesNotContain(WindowKind.WinterWeedPreEmergent, open);
        }
    }

    [Fact]
    public void A_bermudagrass_lawn_with_rye_has_the_windows_of_both_grasses()
    {
        var windows = YearMaker.Rye(Town.ElPaso, new(2026, 9, 1)).Windows();

        Assert.Contains(windows, w => w.Grass == GrassKind.PerennialRyegrass);
        Assert.Contains(windows, w => w.Grass == GrassKind.Bermuda);
        Assert.All(
            windows.Where(w =>
                w.Kind is WindowKind.FinalFallFeeding or WindowKind.Dormancy or WindowKind.GreenUp
            ),
            w => Assert.Equal(GrassKind.Bermuda, w.Grass)
        );
    }

    [Fact]
    public void Every_kind_of_window_is_judged_for_some_lawn()
    {
        var day = new LocalDate(2026, 10, 10);
        var kinds = Lawns
            .SelectMany(l =>
                l.Make(day)
                    .Noted(JournalKind.Seeded, day.PlusDays(-4))
                    .Windows()
                    .Select(w => w.Kind)
            )
            .Distinct()
            .Order();

        Assert.Equal(Enum.GetValues<WindowKind>(), kinds);
    }

    [Fact]
    public void With_nothing_known_at_all_it_says_unknown_and_throws_nothing()
    {
        foreach (var (name, make) in Lawns)
        {
            var maker = make(new(2026, 10, 10));
            maker.Climate = null;
            maker.Outlook = maker.Outlook with
            {
                Past = SiteDays.Unknown(maker.Date, 0),
                Traces = [],
                UsualSoil10CmC = [],
                Basis = OutlookBasis.ClimateAlone,
            };

            foreach (var window in maker.Windows())
            {
                Assert.True(
                    window.Standing
                        is WindowStanding.Unknown
                            or WindowStanding.Withheld
                            or WindowStanding.Closed,
                    $"{name}: {window.Key} is {window.Standing}"
                );
                Assert.NotEmpty(window.Why);
            }
        }
    }

    // K-State (Upham 2013): dethatch bermudagrass and zoysiagrass from mid June to the end of July.
    [Fact]
    public void Dethatching_takes_in_K_States_dates_and_is_withheld_on_runners()
    {
        foreach (var day in new LocalDate[] { new(2026, 6, 15), new(2026, 7, 18) })
        {
            Assert.Equal(
                WindowStanding.Open,
                new YearMaker(Town.Atlanta, day).Window(WindowKind.Dethatching).Standing
            );
        }

        Assert.Equal(
            WindowStanding.Withheld,
            YearMaker
                .Of(Town.Atlanta, new(2026, 6, 15), GrassKind.Centipede)
                .Window(WindowKind.Dethatching)
                .Standing
        );
    }

    [Fact]
    public void Core_aeration_of_warm_season_grass_ends_eight_weeks_before_the_usual_freeze()
    {
        var freeze = UsualFreeze.First(Town.Atlanta.Climate()).Median!.Value.In(2026);

        Assert.Equal(
            freeze.PlusDays(-56),
            new YearMaker(Town.Atlanta, new(2026, 7, 1))
                .Window(WindowKind.CoreAeration)
                .Closes!.Median
        );
    }

    // NC State / Turf Council of NC 2005: roots of cool-season grasses stop at 77 °F soil.
    [Theory]
    [InlineData(24.9, WindowStanding.Ahead)]
    [InlineData(25.1, WindowStanding.Open)]
    public void Summer_stress_begins_above_77_F(double soilC, WindowStanding standing)
    {
        var day = new LocalDate(2026, 7, 5);
        var maker = YearMaker.Of(Town.Lafayette, day, GrassKind.TallFescue);
        maker.Outlook = maker.Outlook with
        {
            Past = MadeOutlook.Days(new(2026, 1, 1), 185, _ => 24, _ => soilC),
            Traces =
            [
                .. Enumerable
                    .Range(0, 10)
                    .Select(k => new OutlookTrace(
                        2016 + k,
                        MadeOutlook.Days(
                            day,
                            300,
                            _ => 24,
                            d => d > new LocalDate(2026, 8, 20) ? 20 : 26
                        )
                    )),
            ],
            SoilErrorC = 0,
        };
        var window = maker.Window(WindowKind.SummerStress);

        Assert.Equal(standing, window.Standing);
        Assert.InRange(window.Closes!.Median!.Value, new LocalDate(2026, 8, 20), new(2026, 8, 25));
    }

    private static void IsWhole(SeasonWindow window, string where)
    {
        Assert.NotEmpty(window.Why);
        Assert.All(
            window.Why,
            f =>
            {
                Assert.False(string.IsNullOrWhiteSpace(f.Source), where);
                Says(f.Text, where);
                Says(f.Evidence, where);
                Says(f.Threshold, where);
            }
        );
        Says(window.Name, where);
        Assert.All(window.Steps, p => Says(p, where));
        Assert.All(window.Amounts, p => Says(p, where));
        Assert.All(window.Cautions, p => Says(p, where));
        InOrder(window.Opens, where);
        InOrder(window.Closes, where);
        InOrder(window.Best, where);
        if (window is { Opens.Median: { } opens, Closes.Median: { } closes })
        {
            Assert.True(opens <= closes || window.Standing != WindowStanding.Open, where);
        }

        Assert.True(
            window.Standing is not WindowStanding.Withheld
                || window.Why.Any(f => f.Weight == AdviceWeight.Blocks)
                || window.Opens.Median is null,
            $"{where}: withheld without a reason"
        );
    }

    private static void Says(Phrase phrase, string where)
    {
        var text = phrase.InUs(DateTimeZone.Utc);
        Assert.False(string.IsNullOrWhiteSpace(text), where);
        Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
        Assert.DoesNotContain("{", text, StringComparison.Ordinal);
        Assert.True(
            char.IsUpper(text[0]) || char.IsLower(text[0]) || char.IsDigit(text[0]),
            string.Create(CultureInfo.InvariantCulture, $"{where}: {text}")
        );
    }

    private static void InOrder(DateSpread? spread, string where)
    {
        if (spread is { Earliest: { } a, Median: { } b })
        {
            Assert.True(a <= b, where);
        }

        if (spread is { Median: { } m, Latest: { } z })
        {
            Assert.True(m <= z, where);
        }
    }

    private static int Step(WindowStanding standing) =>
        standing switch
        {
            WindowStanding.Withheld or WindowStanding.Unknown or WindowStanding.Ahead => 0,
            WindowStanding.Open => 1,
            WindowStanding.ClosingSoon => 2,
            _ => 3,
        };
}
