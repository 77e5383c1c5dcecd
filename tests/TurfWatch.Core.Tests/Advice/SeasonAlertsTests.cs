using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Agronomy.Windows;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class SeasonAlertsTests
{
    private static readonly LocalDate Today = new(2026, 10, 5);

    [Theory]
    [InlineData(WindowStanding.Open, WindowEvent.Opened)]
    [InlineData(WindowStanding.ClosingSoon, WindowEvent.ClosingSoon)]
    [InlineData(WindowStanding.Closed, WindowEvent.Closed)]
    public void Each_standing_has_its_event(WindowStanding standing, WindowEvent what)
    {
        var alert = Assert.Single(Alerts(Window(standing)));

        Assert.Equal(what, alert.Event);
        Assert.Equal($"Overseed:2026:{what}#7", alert.Key);
        Assert.Equal(MessageKind.Alert, alert.Kind);
    }

    [Theory]
    [InlineData(WindowStanding.Ahead)]
    [InlineData(WindowStanding.Done)]
    [InlineData(WindowStanding.Withheld)]
    [InlineData(WindowStanding.Unknown)]
    public void What_is_ahead_done_withheld_or_unknown_is_no_news(WindowStanding standing)
    {
        Assert.Empty(Alerts(Window(standing)));
    }

    [Fact]
    public void A_closing_is_news_for_a_week()
    {
        var closed = Window(WindowStanding.Closed);

        Assert.NotEmpty(Alerts(closed with { Closes = DateSpread.On(Today.PlusDays(-7)) }));
        Assert.Empty(Alerts(closed with { Closes = DateSpread.On(Today.PlusDays(-8)) }));
    }

    [Fact]
    public void That_a_window_closed_follows_the_news_that_it_was_open()
    {
        Assert.Equal(
            ["Overseed:2026:Opened#7", "Overseed:2026:ClosingSoon#7"],
            Alerts(Window(WindowStanding.Closed)).Single().Follows
        );
        Assert.Empty(Alerts(Window(WindowStanding.Open)).Single().Follows);
    }

    [Fact]
    public void A_monthly_feeding_is_told_once()
    {
        var feeding = Window(WindowStanding.Open) with
        {
            Kind = WindowKind.RyeFeeding,
            Ordinal = 2,
        };

        foreach (var standing in new[] { WindowStanding.Open, WindowStanding.ClosingSoon })
        {
            Assert.Equal(
                "RyeFeeding:2026.2:Opened#7",
                Assert.Single(Alerts(feeding with { Standing = standing })).Key
            );
        }

        Assert.Empty(Alerts(feeding with { Standing = WindowStanding.Closed }));
    }

    [Fact]
    public void What_the_journal_cannot_hold_is_not_said_to_be_missing_from_it()
    {
        foreach (var standing in new[] { WindowStanding.ClosingSoon, WindowStanding.Closed })
        {
            var spray = Window(standing) with { Kind = WindowKind.CrabgrassPreEmergent };

            Assert.DoesNotContain(
                "journal",
                Say(Alerts(spray).Single().Headline),
                StringComparison.Ordinal
            );
            Assert.Contains(
                "journal",
                Say(Alerts(Window(standing)).Single().Headline),
                StringComparison.Ordinal
            );
        }
    }

    [Fact]
    public void Nobody_is_called_to_the_last_fall_feeding_once_it_is_to_be_without_nitrogen()
    {
        var feeding = Window(WindowStanding.Open) with { Kind = WindowKind.FinalFallFeeding };

        Assert.NotEmpty(Alerts(feeding with { Best = new(Today, Today, Today.PlusDays(1), 1, 0) }));
        Assert.Empty(
            Alerts(
                feeding with
                {
                    Best = new(Today.PlusDays(-9), Today.PlusDays(-5), Today.PlusDays(-1), 1, 0),
                }
            )
        );
    }

    [Fact]
    public void Work_that_does_not_press_is_told_as_open_even_late_in_it()
    {
        Assert.Equal(
            WindowEvent.Opened,
            Alerts(Window(WindowStanding.ClosingSoon) with { Kind = WindowKind.CoreAeration })
                .Single()
                .Event
        );
    }

    [Fact]
    public void Events_with_nothing_to_do_are_not_told()
    {
        Assert.Empty(
            Alerts(Window(WindowStanding.Open) with { Kind = WindowKind.GreenUp, Steps = [] })
        );
        Assert.Empty(
            Alerts(Window(WindowStanding.Open) with { Kind = WindowKind.Dormancy, Closes = null })
        );
    }

    [Theory]
    [InlineData(3, true)]
    [InlineData(4, false)]
    public void A_first_freeze_is_told_before_it_comes(int days, bool told)
    {
        var freeze = Window(WindowStanding.Ahead) with
        {
            Kind = WindowKind.FirstFreeze,
            Closes = null,
            Opens = new(Today.PlusDays(1), Today.PlusDays(days), Today.PlusDays(9), 20, 0),
        };

        Assert.Equal(told, Alerts(freeze).Any());
    }

    // The digest says to wait with it: an alert that says "now" would contradict, and is sent once the hold is over.
    [Theory]
    [InlineData(null, true)]
    [InlineData(-30, true)]
    [InlineData(-10, false)]
    public void A_feeding_that_must_wait_is_not_called_for(int? fedDaysAgo, bool told)
    {
        var july = new LocalDate(2026, 7, 8);
        var maker = YearMaker.Of(Town.ElPaso, july, GrassKind.Bermuda);
        if (fedDaysAgo is { } days)
        {
            maker.Noted(JournalKind.Fed, july.PlusDays(days), 2.4);
        }

        var feeding = Window(WindowStanding.Open) with
        {
            Kind = WindowKind.SummerFeeding,
            Grass = GrassKind.Bermuda,
            Opens = DateSpread.On(july.PlusDays(-2)),
            Closes = DateSpread.On(july.PlusDays(30)),
        };
        Assert.Equal(told, SeasonAlerts.Of(maker.Build(), [feeding]).Any());
    }

    // Opened from a list of mails, its first sentence must say what it is about.
    [Theory]
    [InlineData(WindowStanding.Open)]
    [InlineData(WindowStanding.ClosingSoon)]
    [InlineData(WindowStanding.Closed)]
    public void The_headline_names_the_work(WindowStanding standing)
    {
        var window = Window(standing) with { Name = Phrase.Of($"Overseed with winter rye") };
        Assert.StartsWith(
            "Overseed with winter rye: ",
            Say(Assert.Single(Alerts(window)).Headline),
            StringComparison.Ordinal
        );
    }

    [Theory]
    [InlineData(0, "First freeze expected today or tonight")]
    [InlineData(1, "First freeze expected tonight or tomorrow")]
    [InlineData(2, "First freeze expected about Wed Oct 7")]
    public void A_freeze_that_is_near_is_named_by_the_night(int days, string subject)
    {
        var freeze = Window(WindowStanding.Ahead) with
        {
            Kind = WindowKind.FirstFreeze,
            Closes = null,
            Opens = new(Today, Today.PlusDays(days), Today.PlusDays(9), 20, 0),
        };
        Assert.Equal(subject, Say(Assert.Single(Alerts(freeze)).Subject));
    }

    [Fact]
    public void The_most_pressing_comes_first()
    {
        var alerts = Alerts(
            Window(WindowStanding.Closed),
            Window(WindowStanding.Open) with
            {
                Kind = WindowKind.CoreAeration,
            },
            Window(WindowStanding.ClosingSoon) with
            {
                Kind = WindowKind.LateFallFeeding,
            }
        );

        Assert.Equal(
            [WindowEvent.ClosingSoon, WindowEvent.Opened, WindowEvent.Closed],
            alerts.Select(a => a.Event)
        );
    }

    [Fact]
    public void An_owner_who_wants_none_gets_none()
    {
        var maker = YearMaker.Rye(Town.ElPaso, Today);
        maker.Lawn = maker.Lawn with { Alerts = false };

        Assert.Empty(SeasonAlerts.Of(maker.Build(), [Window(WindowStanding.Open)]));
    }

    [Fact]
    public void It_tells_the_soil_the_dates_and_why_now()
    {
        var maker = YearMaker.Rye(Town.ElPaso, Today);
        var alert = SeasonAlerts
            .Of(maker.Build(), maker.Windows())
            .Single(a => a.Window.Kind == WindowKind.Overseed);

        Assert.Equal("Overseed window open", Say(alert.Subject));
        Assert.StartsWith(
            "Overseed with winter rye: now is the time, best between",
            Say(alert.Headline),
            StringComparison.Ordinal
        );
        Assert.Contains(alert.Facts, f => Say(f.Label) == "Soil at 4 in, last five days");
        Assert.Contains(alert.Facts, f => Say(f.Label) == "First freeze here");
        Assert.NotEmpty(alert.Cautions);
        Assert.NotEmpty(alert.Window.Amounts);
        Assert.NotEmpty(alert.Data);
    }

    // A subject of at most 60 characters shows whole in most mail programs; common practice, no source.
    [Fact]
    public void Every_subject_is_short_whatever_the_window()
    {
        foreach (var kind in Enum.GetValues<WindowKind>())
        {
            foreach (
                var standing in new[]
                {
                    WindowStanding.Open,
                    WindowStanding.ClosingSoon,
                    WindowStanding.Closed,
                }
            )
            {
                foreach (var alert in Alerts(Window(standing) with { Kind = kind }))
                {
                    Assert.InRange(Say(alert.Subject).Length, 10, 60);
                    Assert.NotEqual("", Say(alert.Headline));
                }
            }
        }
    }

    private static SeasonWindow Window(WindowStanding standing) =>
        new()
        {
            Kind = WindowKind.Overseed,
            Season = 2026,
            Grass = GrassKind.PerennialRyegrass,
            Name = Phrase.Of($"Overseed with winter rye"),
            Standing = standing,
            Opens = DateSpread.On(Today.PlusDays(-20)),
            Closes = DateSpread.On(Today.PlusDays(standing == WindowStanding.Closed ? -2 : 8)),
            Steps = [Phrase.Of($"Sow.")],
            Why = [],
            Basis = OutlookBasis.ThisYear,
        };

    private static ImmutableArray<SeasonAlert> Alerts(params SeasonWindow[] windows) =>
        SeasonAlerts.Of(YearMaker.Rye(Town.ElPaso, Today).Build(), [.. windows]);

    private static string Say(Phrase phrase) => phrase.InUs(DateTimeZone.Utc);
}
