using System.Collections.Immutable;
using System.Text;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Jobs;

/// <summary>Alerts once a season, digests once a week, each on its day.</summary>
public sealed class SeasonSweepTests : SeasonSweepRig
{
    [Fact]
    public async Task An_open_window_is_told_once_a_season_however_often_the_sweep_runs()
    {
        await AddAsync();
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        await SweepAtAsync(Wednesday + Duration.FromMinutes(9));
        Assert.Empty(await KeysAsync());

        await SweepAtAsync(Wednesday + Duration.FromMinutes(10));
        await SweepAtAsync(Wednesday + Duration.FromMinutes(11));
        Assert.Equal(1, _judged);
        for (var day = 1; day <= 20; day++)
        {
            await SweepAtAsync(Wednesday + Duration.FromDays(day) + Duration.FromMinutes(10));
        }

        Assert.Equal(21, _judged);
        Assert.Equal(["Overseed:2026:Opened#1"], await AlertsAsync());
        _windows[WindowKind.Overseed] = WindowStanding.ClosingSoon;
        await SweepAtAsync(Wednesday + Duration.FromDays(21) + Duration.FromMinutes(10));
        Assert.Equal(
            ["Overseed:2026:Opened#1", "Overseed:2026:ClosingSoon#1"],
            await AlertsAsync()
        );
    }

    [Fact]
    public async Task An_alert_waits_for_its_minute_and_is_not_sent_days_later()
    {
        await AddAsync();
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        await SweepAtAsync(Wednesday + Duration.FromMinutes(10));

        var row = Assert.Single(await RowsAsync());
        Assert.InRange(
            row.NotBefore,
            Wednesday + Duration.FromMinutes(10),
            Wednesday + Duration.FromMinutes(11)
        );
        Assert.Equal(Wednesday + Duration.FromDays(5), row.NotAfter);
        var text = Encoding.UTF8.GetString(
            (await _store.Outbox.FindAsync(row.SubscriberId, row.Kind, row.Key, Cancel))!.Content
        );
        Assert.Contains("Subject:", text, StringComparison.Ordinal);
        Assert.Contains("To: lawn1@example.org", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task At_most_three_alerts_a_day_and_the_others_on_the_next_days()
    {
        await AddAsync();
        foreach (var kind in Enum.GetValues<WindowKind>().Where(Acts).Take(7))
        {
            _windows[kind] = WindowStanding.Open;
        }

        var counts = new List<int>();
        for (var day = 0; day < 4; day++)
        {
            await SweepAtAsync(Wednesday + Duration.FromDays(day) + Duration.FromMinutes(10));
            counts.Add((await AlertsAsync()).Count);
        }

        Assert.Equal([3, 6, 7, 7], counts);
    }

    [Fact]
    public async Task The_digest_comes_once_a_week_on_its_day_under_the_name_of_its_week()
    {
        await AddAsync(lawn => lawn with { DigestDay = IsoDayOfWeek.Wednesday, Alerts = false });
        for (var day = -1; day <= 14; day++)
        {
            var at = Wednesday + Duration.FromDays(day) + Duration.FromMinutes(10);
            await SweepAtAsync(at);
            await SweepAtAsync(at + Duration.FromMinutes(1));
        }

        // ISO 8601: 30 September 2026 lies in week 40.
        Assert.Equal(["2026-W40#1", "2026-W41#1", "2026-W42#1"], await KeysAsync());
        Assert.Equal(3, _judged); // nothing is worked out on the days between
        Assert.Equal(Wednesday + Duration.FromDays(2), (await RowsAsync())[0].NotAfter);
    }

    [Fact]
    public async Task A_week_that_straddles_new_year_has_one_name()
    {
        await AddAsync(lawn => lawn with { DigestDay = IsoDayOfWeek.Friday, Alerts = false });
        // ISO 8601: 1 January 2027, a Friday, lies in week 53 of 2026.
        await SweepAtAsync(Instant.FromUtc(2027, 1, 1, 12, 45));

        Assert.Equal(["2026-W53#1"], await KeysAsync());
    }

    [Fact]
    public async Task A_digest_whose_day_the_service_slept_through_comes_the_day_after_and_no_later()
    {
        await AddAsync(lawn => lawn with { DigestDay = IsoDayOfWeek.Wednesday, Alerts = false });
        await SweepAtAsync(Wednesday + Duration.FromDays(1) + Duration.FromMinutes(10));
        Assert.Equal(["2026-W40#1"], await KeysAsync());

        await SweepAtAsync(Wednesday + Duration.FromDays(7 + 2) + Duration.FromMinutes(10));
        Assert.Equal(["2026-W40#1"], await KeysAsync());
    }

    [Fact]
    public async Task A_newcomer_gets_the_open_windows_and_never_what_was_over()
    {
        _windows[WindowKind.Overseed] = WindowStanding.Closed;
        _windows[WindowKind.CoolFallFeeding] = WindowStanding.Open;
        _clock.SetUtcNow((Wednesday - Duration.FromHours(1)).ToDateTimeOffset());
        await AddAsync(lawn => lawn with { DigestDay = IsoDayOfWeek.Monday });

        for (var day = 0; day < 6; day++)
        {
            await SweepAtAsync(Wednesday + Duration.FromDays(day) + Duration.FromMinutes(10));
        }

        Assert.Equal(["CoolFallFeeding:2026:Opened#1", "2026-W41#1"], await KeysAsync());
        // A window that closes while the lawn is with us is told, where the work is missed for a year.
        _windows[WindowKind.CoolFallFeeding] = WindowStanding.Closed;
        await SweepAtAsync(Wednesday + Duration.FromDays(6) + Duration.FromMinutes(10));
        Assert.Contains("CoolFallFeeding:2026:Closed#1", await KeysAsync());
    }

    [Fact]
    public async Task Added_after_todays_morning_it_hears_nothing_today()
    {
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        _clock.SetUtcNow((Wednesday + Duration.FromMinutes(20)).ToDateTimeOffset());
        await AddAsync();

        await SweepAtAsync(Wednesday + Duration.FromHours(3));
        Assert.Empty(await KeysAsync());
        await SweepAtAsync(Wednesday + Duration.FromHours(25));
        Assert.Single(await AlertsAsync());
    }

    [Fact]
    public async Task Someone_who_wants_neither_costs_no_work()
    {
        await AddAsync(lawn => lawn with { DigestDay = null, Alerts = false });
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        await SweepAtAsync(Wednesday + Duration.FromMinutes(10));

        Assert.Equal((0, 0), (_judged, _weather.Asked));
        Assert.Empty(await KeysAsync());
    }
}
