using System.Collections.Concurrent;
using System.Diagnostics;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Tests.Jobs;
using TurfWatch.Host.Web;
using TurfWatch.Store;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>
/// The weather of many cells from services that take 100 ms for each answer: a first fetch, and the next an hour later. The
/// bound is our own politeness: so many requests at a time at one service.
/// </summary>
internal static class FetchScale
{
    private const int Cells = 200;
    private const int CellsOfAStation = 4;
    private const double AnswerS = 0.1;

    public static async Task RunAsync(string[] args)
    {
        var cells = args.Length > 0 ? int.Parse(args[0]) : Cells;
        using var folder = new DiskFolder();
        var clock = new MovedClock();
        await using var services = SlowServices.Start(clock);
        var options = new WeatherOptions
        {
            Contact = "bench@example.org",
            CacheDirectory = Path.Combine(folder.Path, "cache"),
        };
        options.Nws.BaseAddress = options.NasaPower.BaseAddress = new(services.Url);
        await using var provider = new ServiceCollection()
            .AddLogging()
            .AddSingleton<TimeProvider>(clock)
            .AddTurfWatchWeather(options)
            .BuildServiceProvider();
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder.Path },
            clock,
            default
        );
        for (var i = 0; i < cells; i++)
        {
            var (lat, lon) = SlowServices.At(i);
            var zip = $"{10_000 + i}";
            var lawn = Ware.Lawn(i, zip);
            await store.Subscribers.AddAsync($"p{i}@example.com", lawn, default);
            await store.Cells.SaveAsync(
                new()
                {
                    Id = $"nws:TST/{i},9",
                    LatitudeDeg = lat,
                    LongitudeDeg = lon,
                    ElevationM = 750,
                    GridId = "TST",
                    GridX = i,
                    GridY = 9,
                    StationIds = [$"K{i / CellsOfAStation}"],
                    ResolvedAt = Instant.FromDateTimeOffset(clock.GetUtcNow()),
                },
                zip,
                default
            );
        }

        var sweep = new FetchSweep(
            store,
            provider.GetRequiredService<WeatherDesk>(),
            new JobsOptions(),
            new HealthBoard(clock),
            clock,
            NullLogger<FetchSweep>.Instance
        );
        foreach (
            var (what, ahead) in new[] { ("first fetch", 0), ("an hour and a half later", 90) }
        )
        {
            clock.Ahead += TimeSpan.FromMinutes(ahead);
            services.Asked.Clear();
            var used = Environment.CpuUsage.TotalTime;
            var start = Stopwatch.GetTimestamp();
            await sweep.RunAsync(default);
            var took = Stopwatch.GetElapsedTime(start).TotalSeconds;
            var processor = (Environment.CpuUsage.TotalTime - used).TotalSeconds;
            // The service that is asked most decides.
            var most = services.Asked.GroupBy(a => a.Service).Max(g => g.Count());
            var bound = most * AnswerS / options.MaxConcurrentPerOrigin;
            Console.WriteLine(
                $"  {cells} cells, {what}: {took:0.0} s; {services.Asked.Count} requests ({services.Asked.Count(a => a.Status == 304)} answered 304), at most {most} at one service, "
                    + $"{options.MaxConcurrentPerOrigin} at a time: bound {bound:0.0} s, ratio {bound / took:0.00}; {processor * 1000 / cells:0} ms of processor a cell"
            );
        }
    }

    private sealed class MovedClock : TimeProvider
    {
        public TimeSpan Ahead { get; set; }

        public override DateTimeOffset GetUtcNow() => base.GetUtcNow() + Ahead;
    }

    /// <summary>Two services in the shapes of the real ones, slow and with ETags.</summary>
    private sealed class SlowServices(WebApplication app) : IAsyncDisposable
    {
        public ConcurrentQueue<(string Service, int Status)> Asked { get; } = [];

        public string Url => app.Urls.First() + "/";

        /// <summary>Where the cell of a number lies.</summary>
        public static (double Lat, double Lon) At(int cell) =>
            (30 + (cell % 100 * 0.1), -100 + (cell / 100 * 0.1));

        public static SlowServices Start(TimeProvider clock)
        {
            var builder = WebApplication.CreateSlimBuilder();
            builder.Logging.ClearProviders();
            var app = builder.Build();
            app.Urls.Add($"http://127.0.0.1:{Machine.FreePort()}");
            var services = new SlowServices(app);
            app.Run(context => services.AnswerAsync(context, clock));
            app.StartAsync().GetAwaiter().GetResult();
            return services;
        }

        public ValueTask DisposeAsync() => app.DisposeAsync();

        private async Task AnswerAsync(HttpContext context, TimeProvider clock)
        {
            await Task.Delay(TimeSpan.FromSeconds(AnswerS));
            var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
            var hour = Instant.FromUnixTimeSeconds(now.ToUnixTimeSeconds() / 3600 * 3600);
            var path = context.Request.Path.Value!;
            var service = path.StartsWith("/api/", StringComparison.Ordinal) ? "past" : "forecast";
            // New observations each hour; a forecast every six; the past for good.
            var hours = hour.ToUnixTimeSeconds() / 3600;
            var tag =
                $"\"{(path.Contains("/stations/", StringComparison.Ordinal) ? hours : hours / 6)}\"";
            context.Response.Headers.ETag = tag;
            if (context.Request.Headers.IfNoneMatch.Contains(tag))
            {
                Asked.Enqueue((service, 304));
                context.Response.StatusCode = 304;
                return;
            }

            Asked.Enqueue((service, 200));
            context.Response.ContentType = "application/json";
            await context.Response.WriteAsync(Body(path, hour));
        }

        private static string Body(string path, Instant hour)
        {
            if (path.StartsWith("/gridpoints/TST/", StringComparison.Ordinal))
            {
                var x = int.Parse(path.Split('/')[3].Split(',')[0]);
                var (lat, lon) = At(x);
                return WeatherBodies
                    .Grid(lat, lon, hour)
                    .Replace("\"gridX\":\"7\"", $"\"gridX\":\"{x}\"", StringComparison.Ordinal);
            }

            return path switch
            {
                _ when path.StartsWith("/stations/", StringComparison.Ordinal) =>
                    WeatherBodies.Observations(hour),
                "/alerts/active" => """{"type":"FeatureCollection","features":[]}""",
                _ => WeatherBodies.Power(30, -100, hour),
            };
        }
    }
}
