using NodaTime;
using TurfWatch.Core.Advice.Digest;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Agronomy.Windows;
using Xunit;

namespace TurfWatch.Core.Tests.Advice.Digest;

public sealed class WeeklyDigestTests
{
    private static readonly LocalDate Day = new(2026, 10, 3);

    [Fact]
    public void The_soil_chart_parts_what_was_from_what_may_come()
    {
        var year = Rye().Build();
        var chart = Build(year).Charts.Single(c => c.Id == "soil");
        var band = chart.Series.Single(s => s.Style == SeriesStyle.Band);
        var line = chart.Series.Single(s => s.Style == SeriesStyle.Line);

        Assert.Equal(year.Outlook.Today, band.First);
        Assert.Equal(year.Outlook.Today, line.First.PlusDays(line.Values.Length));
        Assert.Equal(band.Values.Length, band.Low.Length);
        Assert.All(band.Low.Zip(band.Values), p => Assert.True(p.First <= p.Second));
        var yesterday = year.Outlook.Past.Soil10CmC[^1];
        Assert.Equal(yesterday, line.Values[^1]);
        Assert.Contains(chart.InWords, p => p.Arguments.Contains(Quantity.TemperatureC(yesterday)));
    }

    [Fact]
    public void Only_levels_near_the_curves_are_drawn()
    {
        var chart = Build(Rye().Build()).Charts.Single(c => c.Id == "soil");
        var shown = chart
            .Series.SelectMany(s => s.Values.Concat(s.Low))
            .Where(v => !double.IsNaN(v))
            .ToList();
        Assert.NotEmpty(chart.Levels);
        Assert.All(
            chart.Levels,
            l => Assert.InRange(l.Value, shown.Min() - 3.01, shown.Max() + 3.01)
        );
    }

    [Fact]
    public void Two_grasses_have_each_their_own_curve_of_growth()
    {
        var chart = Build(Rye().Build()).Charts.Single(c => c.Id == "growth");
        Assert.Equal(
            ["bermudagrass", "perennial ryegrass"],
            chart.Series.Select(s => s.Name.InUs(Zone)).Order(StringComparer.Ordinal)
        );
        Assert.All(
            chart.Series.SelectMany(s => s.Values).Where(v => !double.IsNaN(v)),
            v => Assert.InRange(v, 0, 100)
        );
    }

    [Fact]
    public void Nitrogen_is_added_up_from_the_journal()
    {
        var year = Rye()
            .Noted(JournalKind.Fed, new(2025, 9, 1), 9)
            .Noted(JournalKind.Fed, new(2026, 5, 20), 4.9)
            .Noted(JournalKind.Fed, new(2026, 7, 2), 2.4)
            .Build();
        var values = Build(year).Charts.Single(c => c.Id == "nitrogen").Series[0].Values;
        // What was given more than twelve months ago is not counted.
        Assert.Equal(0, values[0]);
        Assert.Equal(7.3, values[^1], 9);
    }

    [Fact]
    public void Without_a_feeding_there_is_no_chart_of_nitrogen() =>
        Assert.DoesNotContain(Build(Rye().Build()).Charts, c => c.Id == "nitrogen");

    [Fact]
    public void Water_of_the_journal_is_counted_with_the_rain()
    {
        var plain = Water(Rye());
        var watered = Water(Rye().Noted(JournalKind.Watered, Day.PlusDays(-2), 12));
        Assert.Equal(12, watered - plain, 9);

        static double Water(YearMaker maker) =>
            Build(maker.Build())
                .Charts.Single(c => c.Id == "water")
                .Series.Single(s => s.Style == SeriesStyle.Bars)
                .Values.Where(v => !double.IsNaN(v))
                .Sum();
    }

    [Fact]
    public void The_week_ahead_has_only_days_that_are_foretold()
    {
        var days = Build(Rye().Build()).WeekAhead;
        // The made weather reaches three days ahead.
        Assert.InRange(days.Length, 2, 4);
        Assert.All(days, d => Assert.True(d.MinC < d.MaxC));
        Assert.Equal(Day, days[0].Date);
    }

    [Fact]
    public void Open_windows_come_first_and_make_the_headline()
    {
        var year = Rye().Build();
        var digest = Build(year);
        var overseed = digest.Windows.Single(w => w.Kind == WindowKind.Overseed);
        Assert.True(overseed.Standing is WindowStanding.Open or WindowStanding.ClosingSoon);
        var ranks = digest.Windows.Select(w =>
            w.Standing is WindowStanding.Open or WindowStanding.ClosingSoon ? 0 : 1
        );
        Assert.Equal(ranks.Order(), ranks);
        Assert.Contains(
            overseed.Name.InUs(Zone),
            digest.Headline.InUs(Zone),
            StringComparison.Ordinal
        );
    }

    // Seed that dries is dead: where no window presses, the week's first work leads the message.
    [Fact]
    public void Without_a_window_that_presses_the_first_work_makes_headline_and_subject()
    {
        var year = Rye().Noted(JournalKind.Seeded, Day.PlusDays(-2), 40).Build();
        var calm = SeasonCalendar
            .Of(year)
            .Where(w =>
                w.Standing is not (WindowStanding.Open or WindowStanding.ClosingSoon)
                || w.Kind is WindowKind.CoreAeration or WindowKind.Dethatching
            );
        var digest = WeeklyDigest.Build(year, [.. calm]);
        var work = digest.Tasks[0].Title.InUs(Zone);
        Assert.Equal("Keep the perennial ryegrass seed moist", work);
        Assert.StartsWith($"{work}", digest.Headline.InUs(Zone), StringComparison.Ordinal);
        Assert.StartsWith($"{work}", digest.Subject.InUs(Zone), StringComparison.Ordinal);
        Assert.Contains("Next: ", digest.Headline.InUs(Zone), StringComparison.Ordinal);
    }

    // A window that may close in December is at its best long before: the headline must not lull.
    [Fact]
    public void A_window_with_best_days_is_told_by_them()
    {
        var digest = Build(Rye().Build());
        var overseed = digest.Windows.Single(w => w.Kind == WindowKind.Overseed);
        var best = overseed.Best!.Latest!.Value;
        Assert.True(best > Day);
        Assert.Contains("best ", digest.Headline.InUs(Zone), StringComparison.Ordinal);
        Assert.Contains((object)best, digest.Headline.Arguments.SelectMany(Flat));

        static IEnumerable<object> Flat(object o) =>
            o is Phrase p ? p.Arguments.SelectMany(Flat) : [o];
    }

    // Never both: a headline must not call to sow and then to what keeps seed from coming up.
    [Fact]
    public void A_headline_that_calls_to_sow_does_not_go_on_to_a_pre_emergent()
    {
        var year = Rye().Build();
        var windows = SeasonCalendar.Of(year);
        var sow = windows.Single(w => w.Kind == WindowKind.Overseed);
        Assert.Equal(WindowStanding.Open, sow.Standing);
        var weeds = sow with
        {
            Kind = WindowKind.WinterWeedPreEmergent,
            Name = Phrase.Of($"Pre-emergent against winter weeds"),
            Standing = WindowStanding.Ahead,
            Opens = DateSpread.On(Day.PlusDays(5)),
        };
        var freeze = windows.Single(w => w.Kind == WindowKind.FirstFreeze);
        var headline = WeeklyDigest.Build(year, [sow, weeds, freeze]).Headline.InUs(Zone);
        Assert.DoesNotContain("Pre-emergent", headline, StringComparison.Ordinal);
        Assert.Contains("Next: First freeze", headline, StringComparison.Ordinal);
    }

    // "Before the first freeze" is no work for the two weeks after it.
    [Fact]
    public void A_freeze_that_came_is_no_work_of_the_week()
    {
        var year = Rye().Build();
        var came = SeasonCalendar.Of(year).Single(w => w.Kind == WindowKind.FirstFreeze) with
        {
            Standing = WindowStanding.Open,
            Opens = DateSpread.On(Day.PlusDays(-3)),
        };
        var with = WeeklyDigest.Build(year, [came]).Tasks.Length;
        Assert.Equal(WeeklyDigest.Build(year, []).Tasks.Length, with);
    }

    [Fact]
    public void What_was_due_by_today_is_not_about_today()
    {
        var year = Rye().Build();
        var freeze = SeasonCalendar.Of(year).Single(w => w.Kind == WindowKind.FirstFreeze) with
        {
            Standing = WindowStanding.Ahead,
            Opens = new(Day, Day, Day.PlusDays(4), 20, 0),
        };
        var digest = WeeklyDigest.Build(year, [freeze]);
        Assert.Contains(
            "First freeze, any day now",
            digest.Headline.InUs(Zone),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Without_past_years_the_digest_says_that_no_dates_can_be_told()
    {
        var maker = Rye();
        maker.Outlook = maker.Outlook with { Traces = [], UsualSoil10CmC = [] };
        var digest = Build(maker.Build());
        Assert.Contains(digest.Findings, f => f.Rule == "outlook-basis");
        Assert.DoesNotContain(
            digest.Charts.SelectMany(c => c.Series),
            s => s.Style == SeriesStyle.Band
        );
    }

    [Fact]
    public void With_nothing_known_at_all_it_still_is_a_digest()
    {
        var maker = Rye();
        maker.Outlook = maker.Outlook with
        {
            Traces = [],
            UsualSoil10CmC = [],
            Past = MadeOutlook.Days(Day, 0, _ => 0, _ => 0),
            Basis = OutlookBasis.ClimateAlone,
        };
        var digest = Build(maker.Build());
        Assert.DoesNotContain(digest.Charts, c => c.Id == "soil");
        Assert.NotEmpty(digest.OnRecord);
    }

    private static DateTimeZone Zone => DateTimeZoneProviders.Tzdb["America/Denver"];

    private static YearMaker Rye() => YearMaker.Rye(Town.ElPaso, Day);

    private static SeasonDigest Build(LawnYear year) =>
        WeeklyDigest.Build(year, SeasonCalendar.Of(year));
}
