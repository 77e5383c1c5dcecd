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

/// <summary>Alerts once a season and digests once a week, whatever stops, fails or runs twice.</summary>
public sealed class SeasonSweepFaultTests : SeasonSweepRig
{
    [Fact]
    public async Task A_crash_before_the_commit_costs_nothing_and_one_after_it_doubles_nothing()
    {
        await AddAsync(lawn => lawn with { DigestDay = IsoDayOfWeek.Wednesday });
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        using var dying = new CancellationTokenSource();
        var sweep = Sweep(_ => dying.Cancel()); // dies between working out and writing
        SetClock(Wednesday + Duration.FromMinutes(10));
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => sweep.RunAsync(dying.Token));
        await RestartAsync();
        Assert.Empty(await KeysAsync());

        await Sweep().RunAsync(Cancel);
        await RestartAsync();
        await Sweep().RunAsync(Cancel);
        Assert.Equal(["Overseed:2026:Opened#1", "2026-W40#1"], await KeysAsync());
    }

    [Fact]
    public async Task Two_services_that_plan_the_same_morning_write_it_once()
    {
        await AddAsync(lawn => lawn with { DigestDay = IsoDayOfWeek.Wednesday });
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        SetClock(Wednesday + Duration.FromMinutes(10));

        await Task.WhenAll(Sweep().RunAsync(Cancel), Sweep().RunAsync(Cancel));

        Assert.Equal(["Overseed:2026:Opened#1", "2026-W40#1"], await KeysAsync());
    }

    [Fact]
    public async Task Texts_deleted_after_their_time_do_not_bring_the_alert_back()
    {
        await AddAsync();
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        await SweepAtAsync(Wednesday + Duration.FromMinutes(10));
        SetClock(Wednesday + Duration.FromDays(6));
        await _store.Outbox.SweepAsync(5, [], Cancel); // its window is over
        SetClock(Wednesday + Duration.FromDays(60));
        Assert.Equal(1, await _store.Outbox.PruneAsync(Wednesday + Duration.FromDays(59), Cancel));

        await SweepAtAsync(Wednesday + Duration.FromDays(61) + Duration.FromMinutes(10));
        Assert.Equal(["Overseed:2026:Opened#1"], await AlertsAsync());
    }

    [Fact]
    public async Task One_lawns_defect_costs_the_others_nothing_and_is_tried_again_in_an_hour()
    {
        var broken = await AddAsync();
        await AddAsync();
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        var tries = 0;
        var sweep = Sweep(year =>
        {
            if (year.Lawn.Id == broken)
            {
                tries++;
                throw new InvalidOperationException("a defect for the test");
            }
        });
        foreach (var minutes in new[] { 10, 11, 30, 71 })
        {
            SetClock(Wednesday + Duration.FromMinutes(minutes));
            await sweep.RunAsync(Cancel);
        }

        Assert.Equal(2, tries);
        Assert.Equal(["Overseed:2026:Opened#2"], await AlertsAsync());
        // Mended, it gets what it is owed.
        await SweepAtAsync(Wednesday + Duration.FromHours(3));
        Assert.Equal(["Overseed:2026:Opened#2", "Overseed:2026:Opened#1"], await AlertsAsync());
    }

    [Fact]
    public async Task Without_a_forecast_it_waits_and_then_goes_on_without()
    {
        await AddAsync();
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        _weather.Away = true;
        await SweepAtAsync(Wednesday + Duration.FromMinutes(39));
        Assert.Equal(0, _judged);
        await SweepAtAsync(Wednesday + Duration.FromMinutes(40));
        Assert.Single(await AlertsAsync());
    }

    [Fact]
    public async Task A_morning_half_a_day_back_is_left_to_the_next_one()
    {
        await AddAsync();
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        await SweepAtAsync(Wednesday + Duration.FromHours(13)); // 19:30 at the lawn
        Assert.Equal(0, _judged);
        await SweepAtAsync(Wednesday + Duration.FromHours(25));
        Assert.Single(await AlertsAsync());
    }

    [Fact]
    public async Task Without_past_years_the_outlook_has_no_courses_and_the_digest_says_so()
    {
        await AddAsync(lawn => lawn with { DigestDay = IsoDayOfWeek.Wednesday });
        SeasonOutlook? outlook = null;
        SeasonDigest? digest = null;
        var sweep = Sweep(year => outlook = year.Outlook);
        sweep.Told = told =>
            digest = told.Messages.Select(m => m.Content).OfType<SeasonDigest>().Single();
        SetClock(Wednesday + Duration.FromMinutes(10));
        await sweep.RunAsync(Cancel);

        Assert.Empty(outlook!.Traces);
        Assert.Contains(digest!.Findings, f => f.Rule == "outlook-basis");
    }

    [Fact]
    public async Task The_outlook_of_a_kind_of_lawn_is_made_once_a_day_and_the_past_soil_once()
    {
        await _store.Climates.SaveAsync(Cell.Id, PastWeather.Climate, PastWeather.Years, Cancel);
        await AddAsync();
        await AddAsync();
        await AddAsync(lawn => lawn with { MessageTime = new(7, 30) });
        var outlooks = new List<SeasonOutlook>();
        var sweep = Sweep(year => outlooks.Add(year.Outlook));
        SetClock(Wednesday + Duration.FromMinutes(10));
        await sweep.RunAsync(Cancel);
        SetClock(Wednesday + Duration.FromMinutes(70));
        await sweep.RunAsync(Cancel);

        Assert.Equal(3, outlooks.Count);
        Assert.All(outlooks, o => Assert.Same(outlooks[0], o));
        Assert.Equal(OutlookBasis.ThisYear, outlooks[0].Basis);
        Assert.NotEmpty(outlooks[0].Traces);

        // A day later, after a restart: a new outlook, from the kept past soil and the kept days.
        var first = outlooks[0].Past.First;
        await RestartAsync();
        outlooks.Clear();
        _weather.Days = 20;
        SetClock(Wednesday + Duration.FromDays(1) + Duration.FromMinutes(10));
        await Sweep(year => outlooks.Add(year.Outlook)).RunAsync(Cancel);
        Assert.Equal(new LocalDate(2026, 10, 1), outlooks[0].Today);
        Assert.Equal(first, outlooks[0].Past.First);
        Assert.All(outlooks[0].Past.Soil10CmC, soil => Assert.False(double.IsNaN(soil)));
    }
}
