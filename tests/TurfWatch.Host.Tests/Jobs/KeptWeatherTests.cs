using Microsoft.Extensions.DependencyInjection;
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

public class KeptWeatherTests
{
    [Fact]
    public async Task A_place_that_the_service_moved_to_another_cell_has_its_weather_at_once()
    {
        var cancel = TestContext.Current.CancellationToken;
        var clock = new FakeTimeProvider(new(2026, 5, 1, 12, 0, 0, TimeSpan.Zero));
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
        var place = new Place("00000", "Testville", "TX", 29.4, -98.5, "America/Chicago");
        using var scratch = new Scratch();
        using var stub = new StubWeather(place, now);
        await using var store = await TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = Path.Combine(scratch.Folder, "data") },
            clock,
            cancel
        );
        await store.Subscribers.AddAsync(
            "pat@example.org",
            new Lawn { Place = place, Grass = GrassKind.Bermuda },
            cancel
        );
        var old = new WeatherCell
        {
            Id = "nws:TST/1,1",
            GridId = "TST",
            GridX = 1,
            GridY = 1,
            LatitudeDeg = place.LatitudeDeg,
            LongitudeDeg = place.LongitudeDeg,
            ResolvedAt = now - Duration.FromDays(30),
        };
        await store.Cells.SaveAsync(old, place.Zip, cancel);
        var options = new WeatherOptions { CacheDirectory = "", Contact = "ops@example.test" };
        options.Nws.BaseAddress = options.NasaPower.BaseAddress = new Uri(stub.Url);
        await using var services = new ServiceCollection()
            .AddSingleton<TimeProvider>(clock)
            .AddLogging()
            .AddTurfWatchWeather(options)
            .BuildServiceProvider();
        var desk = services.GetRequiredService<WeatherDesk>();
        var jobs = new JobsOptions();
        var kept = new KeptWeather(
            store,
            new(store, desk, jobs, new(clock), clock, NullLogger<FetchSweep>.Instance),
            new(store, desk, clock, NullLogger<ClimateSweep>.Instance),
            jobs
        );

        var weather = await kept.OfAsync(old, now, cancel);

        Assert.Equal("nws:TST/7,9", Assert.Single(await store.Cells.InUseAsync(cancel)).Id);
        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.Forecast)!.Standing);
        Assert.True(weather.Hours.Count > 0);
    }
}
