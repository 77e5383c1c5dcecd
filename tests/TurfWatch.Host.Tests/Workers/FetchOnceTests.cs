using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Tests.Jobs;
using TurfWatch.Host.Web;
using TurfWatch.Store;
using TurfWatch.Testing;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;
using Xunit;

namespace TurfWatch.Host.Tests.Workers;

/// <summary>R28: a cell is fetched once a period, however many workers there are and however often they start.</summary>
public sealed class FetchOnceTests
{
    private static readonly Place Town = new(
        "00000",
        "Testville",
        "TX",
        29.4,
        -98.5,
        "America/Chicago"
    );

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Workers_that_sweep_at_once_and_again_ask_no_more_than_one_does()
    {
        var alone = await RequestsAsync(workers: 1, sweeps: 1);
        Assert.True(alone > 0);

        Assert.Equal(alone, await RequestsAsync(workers: 4, sweeps: 3));
    }

    [Fact]
    public async Task Who_needs_the_weather_while_another_fetches_it_waits_for_that()
    {
        var now = Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
        using var folder = new ScratchFolder();
        await using var store = await OpenAsync(folder);
        using var weather = new StubWeather(Town, now);
        await using var ann = new FetchingWorker(store, weather.Url);
        await using var bob = new FetchingWorker(store, weather.Url);
        await ann.Sweep.RunAsync(Cancellation);
        var cell = Assert.Single(await store.Cells.InUseAsync(Cancellation));
        // As a dead-slow worker would leave it: due, begun, not ended.
        await store.Fetches.EndAsync(cell.Id, now, null, Cancellation);
        // Whole milliseconds, as the database keeps them.
        var fresh = Instant.FromUnixTimeMilliseconds(
            TimeProvider.System.GetUtcNow().ToUnixTimeMilliseconds()
        );
        Assert.True(
            await store.Fetches.TryBeginAsync(
                cell.Id,
                fresh,
                fresh + Duration.FromMinutes(10),
                Cancellation
            )
        );

        var waiting = bob.Sweep.RenewAsync(cell, fresh, Cancellation);
        await Task.Delay(500, Cancellation);
        Assert.False(waiting.IsCompleted);
        await store.Fetches.EndAsync(cell.Id, fresh + Duration.FromHours(1), fresh, Cancellation);

        Assert.Equal(cell.Id, (await waiting)!.Id);
    }

    private static async Task<int> RequestsAsync(int workers, int sweeps)
    {
        using var folder = new ScratchFolder();
        await using var store = await OpenAsync(folder);
        using var weather = new StubWeather(
            Town,
            Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow())
        );
        for (var i = 0; i < sweeps; i++)
        {
            // Each time anew, as after a start: nothing is kept in a process.
            var all = Enumerable
                .Range(0, workers)
                .Select(_ => new FetchingWorker(store, weather.Url))
                .ToList();
            await Task.WhenAll(all.Select(w => Task.Run(() => w.Sweep.RunAsync(Cancellation))));
            foreach (var worker in all)
            {
                await worker.DisposeAsync();
            }
        }

        return weather.Requests;
    }

    private static async Task<TurfStore> OpenAsync(ScratchFolder folder)
    {
        var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder.Path },
            TimeProvider.System,
            Cancellation
        );
        await store.Subscribers.AddAsync(
            "pat@example.org",
            new Lawn { Place = Town, Grass = GrassKind.Bermuda },
            Cancellation
        );
        return store;
    }

    /// <summary>What of a worker fetches: with a cache and pipelines of its own.</summary>
    private sealed class FetchingWorker : IAsyncDisposable
    {
        private readonly ServiceProvider _services;

        public FetchingWorker(TurfStore store, string url)
        {
            var options = new WeatherOptions { CacheDirectory = "", Contact = "ops@example.test" };
            options.Nws.BaseAddress = options.NasaPower.BaseAddress = new Uri(url);
            _services = new ServiceCollection()
                .AddSingleton(TimeProvider.System)
                .AddLogging()
                .AddTurfWatchWeather(options)
                .BuildServiceProvider();
            Sweep = new(
                store,
                _services.GetRequiredService<WeatherDesk>(),
                new JobsOptions(),
                new HealthBoard(TimeProvider.System),
                TimeProvider.System,
                NullLogger<FetchSweep>.Instance
            );
        }

        public FetchSweep Sweep { get; }

        public ValueTask DisposeAsync() => _services.DisposeAsync();
    }
}
