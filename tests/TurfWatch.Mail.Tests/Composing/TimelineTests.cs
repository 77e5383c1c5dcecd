using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;
using TurfWatch.Mail.Tests.Charts;

namespace TurfWatch.Mail.Tests.Composing;

/// <summary>Windows in words and as bars, as of November 21.</summary>
public sealed class TimelineTests
{
    private static readonly LocalDate Today = Picture.Today;

    [Fact]
    public void A_bar_fills_its_line_and_all_bars_put_today_in_the_same_place()
    {
        var view = TimelineViewer.View(Samples.Week().Windows, Today, Picture.Say());
        Assert.Equal(100, view.Months.Sum(m => Percent(m.Percent)), 0.1);
        var bars = view.Windows.Where(w => w.Bar.Count > 0).ToList();
        Assert.InRange(bars.Count, 8, 10);
        Assert.All(bars, w => Assert.Equal(100, w.Bar.Sum(p => Percent(p.Percent)), 0.1));
        var todays = bars.Select(w =>
            w.Bar.TakeWhile(p => p.Look != "today").Sum(p => Percent(p.Percent))
        );
        Assert.All(todays, t => Assert.InRange(Math.Abs(t - todays.First()), 0, 0.05));
    }

    [Fact]
    public void A_bar_is_faint_where_it_is_doubtful_and_full_between_the_medians()
    {
        var window = Samples.RyeFeeding() with
        {
            Best = null,
            Opens = new(new(2026, 11, 1), new(2026, 11, 11), new(2026, 11, 16), 20, 0),
            Closes = new(new(2026, 12, 1), new(2026, 12, 6), new(2026, 12, 16), 20, 0),
        };
        // November and December: 61 days; today is the 21st of them.
        var bar = TimelineViewer.View([window], Today, Picture.Say()).Windows[0].Bar;
        Assert.Equal(["maybe", "sure", "today", "sure", "maybe", "none"], bar.Select(p => p.Look));
        Assert.Equal(
            [10, 10, 1, 15, 10, 15],
            bar.Select(p => (int)Math.Round(Percent(p.Percent) * 61 / 100))
        );
    }

    [Fact]
    public void What_lies_past_is_told_as_past() =>
        Assert.Equal(
            "Opened Oct 4. Closed Oct 20.",
            Words(DateSpread.On(new(2026, 10, 4)), DateSpread.On(new(2026, 10, 20)))
        );

    [Fact]
    public void A_likely_date_comes_with_its_range() =>
        Assert.Equal(
            "Opens about Dec 12 (Dec 8 to Dec 19). Closes about Jan 6 (Dec 28 to Jan 16).",
            Words(
                new(new(2026, 12, 8), new(2026, 12, 12), new(2026, 12, 19), 20, 0),
                new(new(2026, 12, 28), new(2027, 1, 6), new(2027, 1, 16), 20, 0)
            )
        );

    [Fact]
    public void What_does_not_come_every_year_says_so() =>
        Assert.Equal(
            "Comes about Dec 3 (Nov 23 or later; not at all in 3 of 20 years).",
            Words(new(new(2026, 11, 23), new(2026, 12, 3), null, 20, 3), null)
        );

    [Fact]
    public void What_comes_in_few_years_has_no_middle() =>
        Assert.Equal(
            "Comes Dec 8 or later (not at all in 12 of 20 years).",
            Words(new(new(2026, 12, 8), null, null, 20, 12), null)
        );

    [Fact]
    public void What_is_not_known_or_not_likely_is_said_to_be_so()
    {
        Assert.Equal("Comes not known.", Words(DateSpread.Unknown, null));
        Assert.Equal(
            "Comes not likely this season (not at all in 20 of 20 years).",
            Words(new(null, null, null, 20, 20), null)
        );
    }

    [Fact]
    public void The_day_itself_is_called_today() =>
        Assert.StartsWith(
            "Opens today.",
            Words(DateSpread.On(Today), DateSpread.Unknown),
            StringComparison.Ordinal
        );

    [Fact]
    public void A_date_a_year_away_has_its_year() =>
        Assert.Equal("Comes Nov 1, 2027.", Words(DateSpread.On(new(2027, 11, 1)), null));

    [Fact]
    public void Dates_of_past_years_alone_are_said_to_be_so_once_when_they_all_are()
    {
        var climate = Samples
            .Week()
            .Windows.Select(w => w with { Basis = OutlookBasis.ClimateAlone })
            .ToList();
        var all = TimelineViewer.View(climate, Today, Picture.Say());
        Assert.Contains("past years alone", all.Basis, StringComparison.Ordinal);
        Assert.DoesNotContain(
            all.Windows,
            w => w.Reason.Contains("past years alone", StringComparison.Ordinal)
        );
        var some = TimelineViewer.View(Samples.Week().Windows, Today, Picture.Say());
        Assert.Equal("", some.Basis);
        Assert.Single(
            some.Windows,
            w => w.Reason.Contains("past years alone", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void A_withheld_window_has_a_reason_and_neither_dates_nor_bar()
    {
        var view = TimelineViewer.View(Samples.Week().Windows, Today, Picture.Say());
        var withheld = Assert.Single(view.Windows, w => w.Standing == "Not this season");
        Assert.Empty(withheld.Dates);
        Assert.Empty(withheld.Bar);
        Assert.NotEmpty(withheld.Reason);
    }

    private static string Words(DateSpread opens, DateSpread? closes)
    {
        var window = Samples.RyeFeeding() with
        {
            Standing = WindowStanding.Ahead,
            Best = null,
            Opens = opens,
            Closes = closes,
        };
        var dates = TimelineViewer.View([window], Today, Picture.Say()).Windows[0].Dates;
        return string.Join(
                ' ',
                dates.Select(d =>
                    d.Range.Length > 0 ? $"{d.Label} {d.Date} ({d.Range})." : $"{d.Label} {d.Date}."
                )
            )
            .Replace(PlainText.NoBreak, ' ');
    }

    private static double Percent(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
