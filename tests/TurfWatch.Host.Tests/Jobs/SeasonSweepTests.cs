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

/// <summary>Alerts once a season, digests once a week, whatever stops, fails or runs twice.</summary>
public sealed class SeasonSweepTests : IAsyncLifetime
{
    /// <summary>A Wednesday, 06:30 in Chicago: the hour of the morning message.</summary>
    private static readonly Instant Wednesday = Instant.FromUtc(2026, 9, 30, 11, 30);

    private readonly ScratchFolder _folder = new();
    private readonly FakeTimeProvider _clock = new(
        (Wednesday - Duration.FromDays(2)).ToDateTimeOffset()
    );
    private readonly Dictionary<WindowKind, WindowStanding> _windows = [];
    private readonly MildWeather _weather = new();
    private TurfStore _store = null!;
    private int _judged;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        await OpenAsync();
        await _store.Cells.SaveAsync(Cell, "00001", Cancel);
    }

    public async ValueTask DisposeAsync()
    {
        await _store.DisposeAsync();
        _folder.Dispose();
    }

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
    public async Task Someone_who_wants_neither_costs_no_work()
    {
        await AddAsync(lawn => lawn with { DigestDay = null, Alerts = false });
        _windows[WindowKind.Overseed] = WindowStanding.Open;
        await SweepAtAsync(Wednesday + Duration.FromMinutes(10));

        Assert.Equal((0, 0), (_judged, _weather.Asked));
        Assert.Empty(await KeysAsync());
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

    private static WeatherCell Cell { get; } =
        new()
        {
            Id = "cell-1",
            LatitudeDeg = 35,
            LongitudeDeg = -90,
            ElevationM = 100,
            ResolvedAt = Wednesday,
        };

    /// <summary>Windows that are a matter of work; the others are events.</summary>
    private static bool Acts(WindowKind kind) => kind != WindowKind.FirstFreeze;

    private async Task<long> AddAsync(Func<Lawn, Lawn>? change = null)
    {
        var lawn = new Lawn
        {
            Place = new("00001", "Testville", "TN", 35, -90, "America/Chicago"),
            Grass = GrassKind.Bermuda,
            MessageTime = new(6, 30),
            DigestDay = null,
        };
        var count = 1;
        await foreach (var _ in _store.Subscribers.ListAsync(Cancel))
        {
            count++;
        }

        var added = await _store.Subscribers.AddAsync(
            $"lawn{count}@example.org",
            change?.Invoke(lawn) ?? lawn,
            Cancel
        );
        return added!.Lawns[0].Id;
    }

    private Task SweepAtAsync(Instant at)
    {
        SetClock(at);
        return Sweep().RunAsync(Cancel);
    }

    private void SetClock(Instant at) => _clock.SetUtcNow(at.ToDateTimeOffset());

    private SeasonSweep Sweep(Action<LawnYear>? judging = null) =>
        new(
            _store,
            new MessageComposer(new SenderOptions(), LinkTokens.Open(_folder.Path)),
            _weather,
            new JobsOptions(),
            _clock,
            NullLogger<SeasonSweep>.Instance
        )
        {
            Calendar = year =>
            {
                Interlocked.Increment(ref _judged);
                judging?.Invoke(year);
                return [.. _windows.Select(w => Window(year, w.Key, w.Value))];
            },
        };

    private static SeasonWindow Window(LawnYear year, WindowKind kind, WindowStanding standing)
    {
        var closes =
            standing == WindowStanding.Closed ? year.Date.PlusDays(-2) : year.Date.PlusDays(8);
        return new()
        {
            Kind = kind,
            Season = 2026,
            Grass = year.Lawn.Grass,
            Name = Phrase.Of($"A window for the test"),
            Standing = standing,
            Opens = DateSpread.On(year.Date.PlusDays(-10)),
            Closes = DateSpread.On(closes),
            Steps = [Phrase.Of($"Do it.")],
            Why = [],
            Basis = OutlookBasis.ThisYear,
        };
    }

    private async Task OpenAsync() =>
        _store = await TurfStore.OpenAsync(new() { DataDirectory = _folder.Path }, _clock, Cancel);

    private async Task RestartAsync()
    {
        await _store.DisposeAsync();
        await OpenAsync();
    }

    private async Task<List<OutboxMessage>> RowsAsync()
    {
        var rows = new List<OutboxMessage>();
        await foreach (var row in _store.Outbox.ListAsync(Cancel))
        {
            rows.Add(row);
        }

        return rows;
    }

    private async Task<List<string>> KeysAsync() => [.. (await RowsAsync()).Select(r => r.Key)];

    private async Task<List<string>> AlertsAsync() =>
        [.. (await RowsAsync()).Where(r => r.Kind == MessageKind.Alert).Select(r => r.Key)];

    /// <summary>Some weeks of one mild day, and three to come.</summary>
    private sealed class MildWeather : ICellWeather
    {
        public int Asked { get; private set; }

        public int Days { get; set; } = 40;

        public bool Away { get; set; }

        public Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel)
        {
            Asked++;
            if (Away)
            {
                return Task.FromResult(NoWeather.For(now, "it is away in this test"));
            }

            var hour = Instant.FromUnixTimeSeconds(now.ToUnixTimeSeconds() / 3600 * 3600);
            var first = hour - Duration.FromDays(Days);
            var hours = new WeatherSeriesBuilder(first, (Days + 3) * 24);
            for (var i = 0; i < hours.Count; i++)
            {
                var local = (first + Duration.FromHours(i - 6)).InUtc().Hour;
                var swing = -Math.Cos((local - 3) * Math.PI / 12);
                hours[WeatherColumn.AirTemperatureC][i] = 20 + (6 * swing);
                hours[WeatherColumn.DewPointC][i] = 11;
                hours[WeatherColumn.WindSpeedMS][i] = 2;
                hours[WeatherColumn.CloudCoverPercent][i] = 30;
                hours[WeatherColumn.PrecipitationMm][i] = 0;
                hours.Origins[i] = new(
                    first + Duration.FromHours(i) <= now ? HourKind.Measured : HourKind.Forecast,
                    "test",
                    now
                );
            }

            DataNote note = new(DataSubject.Forecast, "Test", now, DataStanding.Fresh);
            return Task.FromResult(new CellWeather(hours.Build(), [], [note]));
        }
    }

    /// <summary>Twelve years of one wave.</summary>
    private static class PastWeather
    {
        public static PastYears Years { get; } =
            new([
                .. Enumerable
                    .Range(0, 12 * 365)
                    .Select(new LocalDate(2014, 1, 1).PlusDays)
                    .Select(day =>
                    {
                        var mean = 16 - (11 * Math.Cos(2 * Math.PI * (day.DayOfYear - 20) / 365));
                        return new ClimateDay(day, mean, mean - 6, mean + 6, 2, mean - 7, 2.5, 16);
                    }),
            ]);

        public static PlaceClimate Climate { get; } = PlaceClimateBuilder.Build([.. Years.Days])!;
    }
}
