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

/// <summary>A store, a clock, mild weather and windows of the season that a test opens and closes.</summary>
public abstract class SeasonSweepRig : IAsyncLifetime
{
    /// <summary>A Wednesday, 06:30 in Chicago: the hour of the morning message.</summary>
    private protected static readonly Instant Wednesday = Instant.FromUtc(2026, 9, 30, 11, 30);

    private protected readonly ScratchFolder _folder = new();

    private protected readonly FakeTimeProvider _clock = new(
        (Wednesday - Duration.FromDays(2)).ToDateTimeOffset()
    );

    private protected readonly Dictionary<WindowKind, WindowStanding> _windows = [];

    private protected readonly MildWeather _weather = new();

    private protected TurfStore _store = null!;

    private protected int _judged;

    private protected static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        await OpenAsync();
        await _store.Cells.SaveAsync(Cell, "00001", Cancel);
    }

    public async ValueTask DisposeAsync()
    {
        await _store.DisposeAsync();
        _folder.Dispose();
        GC.SuppressFinalize(this);
    }

    private protected static WeatherCell Cell { get; } =
        new()
        {
            Id = "cell-1",
            LatitudeDeg = 35,
            LongitudeDeg = -90,
            ElevationM = 100,
            ResolvedAt = Wednesday,
        };

    /// <summary>Windows that are a matter of work; the others are events.</summary>
    private protected static bool Acts(WindowKind kind) => kind != WindowKind.FirstFreeze;

    private protected async Task<long> AddAsync(Func<Lawn, Lawn>? change = null)
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

    private protected Task SweepAtAsync(Instant at)
    {
        SetClock(at);
        return Sweep().RunAsync(Cancel);
    }

    private protected void SetClock(Instant at) => _clock.SetUtcNow(at.ToDateTimeOffset());

    private protected SeasonSweep Sweep(Action<LawnYear>? judging = null) =>
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

    private protected static SeasonWindow Window(
        LawnYear year,
        WindowKind kind,
        WindowStanding standing
    )
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

    private protected async Task OpenAsync() =>
        _store = await TurfStore.OpenAsync(new() { DataDirectory = _folder.Path }, _clock, Cancel);

    private protected async Task RestartAsync()
    {
        await _store.DisposeAsync();
        await OpenAsync();
    }

    private protected async Task<List<OutboxMessage>> RowsAsync()
    {
        var rows = new List<OutboxMessage>();
        await foreach (var row in _store.Outbox.ListAsync(Cancel))
        {
            rows.Add(row);
        }

        return rows;
    }

    private protected async Task<List<string>> KeysAsync() =>
        [.. (await RowsAsync()).Select(r => r.Key)];

    private protected async Task<List<string>> AlertsAsync() =>
        [.. (await RowsAsync()).Where(r => r.Kind == MessageKind.Alert).Select(r => r.Key)];

    /// <summary>Some weeks of one mild day, and three to come.</summary>
    private protected sealed class MildWeather : ICellWeather
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
    private protected static class PastWeather
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
