using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Store;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;
using WireMock.RequestBuilders;
using WireMock.ResponseBuilders;
using WireMock.Server;
using Xunit;

namespace TurfWatch.Host.Tests.Jobs;

/// <summary>The climate of a cell: fetched once, renewed yearly, left alone for a day when that failed.</summary>
public sealed class ClimateSweepTests : IAsyncLifetime
{
    private const string Daily = "/api/temporal/daily/point";

    private static readonly WeatherCell Cell = new()
    {
        Id = "at:29.4,-98.5",
        LatitudeDeg = 29.4,
        LongitudeDeg = -98.5,
        ResolvedAt = Instant.FromUtc(2026, 5, 1, 0, 0),
    };

    private readonly Scratch _scratch = new();
    private readonly WireMockServer _power = WireMockServer.Start();
    private readonly FakeTimeProvider _clock = new(new(2026, 5, 1, 12, 0, 0, TimeSpan.Zero));
    private TurfStore _store = null!;
    private ServiceProvider _services = null!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _store = await TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = Path.Combine(_scratch.Folder, "data") },
            _clock,
            Cancel
        );
        await _store.Subscribers.AddAsync(
            "pat@example.org",
            new Lawn
            {
                Place = new("00000", "Testville", "TX", 29.4, -98.5, "America/Chicago"),
                Grass = GrassKind.Bermuda,
            },
            Cancel
        );
        await _store.Cells.SaveAsync(Cell, "00000", Cancel);
    }

    public async ValueTask DisposeAsync()
    {
        await _services.DisposeAsync();
        await _store.DisposeAsync();
        _power.Dispose();
        _scratch.Dispose();
    }

    [Fact]
    public async Task It_is_fetched_once_and_laid_beside_the_weather_with_its_note()
    {
        PowerAnswers();
        var sweep = Sweep();
        await sweep.RunAsync(Cancel);
        Assert.Equal(4, _power.LogEntries.Count);

        _clock.Advance(TimeSpan.FromDays(200));
        await sweep.RunAsync(Cancel);
        Assert.Equal(4, _power.LogEntries.Count);

        var weather = await sweep.WithClimateAsync(Cell.Id, Nothing(), Cancel);
        Assert.Equal(10, weather.Climate!.MeanC[100], 1e-9);
        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.Climate)!.Standing);
        Assert.Equal(DataStanding.Missing, weather.Note(DataSubject.Forecast)!.Standing);

        _clock.Advance(TimeSpan.FromDays(166));
        await sweep.RunAsync(Cancel);
        Assert.Equal(8, _power.LogEntries.Count); // 2007 to 2026
        Assert.Equal(2026, (await _store.Climates.LoadAsync(Cell.Id, Cancel))!.Climate.LastYear);
    }

    [Fact]
    public async Task A_failure_is_noted_and_tried_again_after_a_day_not_in_every_sweep()
    {
        _power
            .Given(Request.Create().WithPath(Daily))
            .RespondWith(Response.Create().WithStatusCode(422));
        var sweep = Sweep();
        Assert.Null(
            (await sweep.WithClimateAsync(Cell.Id, Nothing(), Cancel)).Note(DataSubject.Climate)
        );

        await sweep.RunAsync(Cancel);
        _clock.Advance(TimeSpan.FromHours(23));
        await sweep.RunAsync(Cancel);
        Assert.Single(_power.LogEntries);
        var weather = await sweep.WithClimateAsync(Cell.Id, Nothing(), Cancel);
        Assert.Null(weather.Climate);
        Assert.Equal(DataStanding.Missing, weather.Note(DataSubject.Climate)!.Standing);

        _power.Reset();
        PowerAnswers();
        _clock.Advance(TimeSpan.FromHours(1));
        await sweep.RunAsync(Cancel);
        Assert.NotNull((await sweep.WithClimateAsync(Cell.Id, Nothing(), Cancel)).Climate);
    }

    [Fact]
    public async Task Switched_off_nothing_is_asked_and_nothing_is_said()
    {
        var sweep = Sweep(o => o.NasaPower.Enabled = false);
        await sweep.RunAsync(Cancel);

        Assert.Empty(_power.LogEntries);
        Assert.Null(
            (await sweep.WithClimateAsync(Cell.Id, Nothing(), Cancel)).Note(DataSubject.Climate)
        );
    }

    private CellWeather Nothing() =>
        NoWeather.For(Instant.FromDateTimeOffset(_clock.GetUtcNow()), "a test");

    private ClimateSweep Sweep(Action<WeatherOptions>? configure = null)
    {
        var options = new WeatherOptions { CacheDirectory = "", Contact = "ops@example.test" };
        options.Nws.Enabled = false;
        options.NasaPower.BaseAddress = new Uri(_power.Url!);
        options.NasaPower.Retries = 0;
        configure?.Invoke(options);
        _services = new ServiceCollection()
            .AddSingleton<TimeProvider>(_clock)
            .AddLogging()
            .AddTurfWatchWeather(options)
            .BuildServiceProvider();
        return new(
            _store,
            _services.GetRequiredService<WeatherDesk>(),
            _clock,
            NullLogger<ClimateSweep>.Instance
        );
    }

    private void PowerAnswers()
    {
        foreach (var first in new[] { 2006, 2011, 2016, 2021, 2007, 2012, 2017, 2022 })
        {
            _power
                .Given(Request.Create().WithPath(Daily).WithParam("start", $"{first}0101"))
                .RespondWith(
                    Response
                        .Create()
                        .WithHeader("Content-Type", "application/json")
                        .WithBody(WeatherBodies.PowerDays(first, first + 4))
                );
        }
    }
}
