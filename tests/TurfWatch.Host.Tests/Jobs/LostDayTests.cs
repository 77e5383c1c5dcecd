using Microsoft.Data.Sqlite;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Web;
using TurfWatch.Store;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;
using Xunit;

namespace TurfWatch.Host.Tests.Jobs;

/// <summary>A kept day that cannot be read: told until it is fetched again, logged once, and no other cell pays for it.</summary>
public sealed class LostDayTests : IDisposable
{
    private static readonly Place Here = new(
        "00000",
        "Testville",
        "TX",
        29.4,
        -98.5,
        "America/Chicago"
    );

    private readonly Scratch _scratch = new();
    private readonly FakeTimeProvider _clock = new(new(2026, 5, 1, 12, 0, 0, TimeSpan.Zero));

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    private Instant Now => Instant.FromDateTimeOffset(_clock.GetUtcNow());

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task A_damaged_day_is_told_in_the_morning_and_fetched_again_with_the_next_fetch()
    {
        using var stub = new StubWeather(Here, Now);
        await using var services = Weather(stub);
        await using var store = await StoreAsync();
        var log = new Warnings();
        var desk = services.GetRequiredService<WeatherDesk>();
        var jobs = new JobsOptions();
        var fetch = new FetchSweep(store, desk, jobs, new(_clock), _clock, log);
        var kept = new KeptWeather(
            store,
            fetch,
            new(store, desk, _clock, NullLogger<ClimateSweep>.Instance),
            jobs
        );
        await fetch.RunAsync(Cancel);
        var cell = Assert.Single(await store.Cells.InUseAsync(Cancel));
        var whole = await kept.OfAsync(cell, Now, Cancel);
        var damaged = Damage(cell.Id);

        var morning = await kept.OfAsync(cell, Now, Cancel);
        _clock.Advance(TimeSpan.FromHours(3));
        await fetch.RunAsync(Cancel);
        var healed = await kept.OfAsync(cell, Now, Cancel);
        _clock.Advance(TimeSpan.FromHours(3));
        await fetch.RunAsync(Cancel);

        Assert.DoesNotContain(whole.Notes, n => n.Day is not null);
        Assert.Contains(
            morning.Notes,
            n => n.Day == Yesterday && n.Standing == DataStanding.Missing
        );
        Assert.Equal(24, Gaps(morning) - Gaps(whole));
        Assert.DoesNotContain(healed.Notes, n => n.Day is not null);
        Assert.Equal(0, Gaps(healed));
        // Once for each damaged row, and never again.
        Assert.Equal(damaged, log.Lines.Count);
        Assert.All(
            log.Lines,
            line =>
                Assert.StartsWith(
                    $"A kept day of {cell.Id} was dropped and is fetched again: ",
                    line,
                    StringComparison.Ordinal
                )
        );
    }

    private LocalDate Yesterday => new(2026, 4, 30);

    /// <summary>All that is kept of yesterday, in each layer; how many rows that is.</summary>
    private int Damage(string cell)
    {
        using var database = new SqliteConnection(
            $"Data Source={Path.Combine(_scratch.Folder, "data", "turfwatch.db")}"
        );
        database.Open();
        using var command = database.CreateCommand();
        command.CommandText =
            "UPDATE weather_day SET hours = zeroblob(40) WHERE cell_id = @cell AND day = @day";
        command.Parameters.AddWithValue("cell", cell);
        command.Parameters.AddWithValue(
            "day",
            Yesterday.AtMidnight().InUtc().ToInstant().ToUnixTimeSeconds() / 86_400
        );
        var rows = command.ExecuteNonQuery();
        Assert.NotEqual(0, rows);
        return rows;
    }

    private int Gaps(CellWeather weather)
    {
        var first = weather.Hours.IndexOf(Yesterday.AtMidnight().InUtc().ToInstant());
        var air = weather.Hours[WeatherColumn.AirTemperatureC];
        var gaps = 0;
        for (var i = first; i < first + 24; i++)
        {
            gaps += double.IsNaN(air[i]) ? 1 : 0;
        }

        return gaps;
    }

    private async Task<TurfStore> StoreAsync()
    {
        var store = await TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = Path.Combine(_scratch.Folder, "data") },
            _clock,
            Cancel
        );
        await store.Subscribers.AddAsync(
            "pat@example.org",
            new Lawn { Place = Here, Grass = GrassKind.Bermuda },
            Cancel
        );
        return store;
    }

    private ServiceProvider Weather(StubWeather stub)
    {
        var options = new WeatherOptions { CacheDirectory = "", Contact = "ops@example.test" };
        options.Nws.BaseAddress = options.NasaPower.BaseAddress = new Uri(stub.Url);
        return new ServiceCollection()
            .AddSingleton<TimeProvider>(_clock)
            .AddLogging()
            .AddTurfWatchWeather(options)
            .BuildServiceProvider();
    }

    /// <summary>What the operator is warned of.</summary>
    private sealed class Warnings : ILogger<FetchSweep>
    {
        public List<string> Lines { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => logLevel >= LogLevel.Warning;

        public void Log<TState>(
            LogLevel logLevel,
            EventId eventId,
            TState state,
            Exception? exception,
            Func<TState, Exception?, string> formatter
        ) => Lines.Add(formatter(state, exception));
    }
}
