using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;
using WireMock.RequestBuilders;
using WireMock.ResponseBuilders;
using WireMock.Server;

namespace TurfWatch.Weather.Tests;

/// <summary>All sources as the program registers them, each pointed at one stub server, with a clock of ours and no retries.</summary>
internal sealed class SourceBench : IAsyncDisposable
{
    private readonly Lazy<ServiceProvider> _services;

    public SourceBench(Action<WeatherOptions>? configure = null)
    {
        Options = new() { CacheDirectory = Folder, Contact = "ops@example.test" };
        OriginOptions[] origins = [Options.Nws, Options.NasaPower, Options.OpenMeteo];
        foreach (var origin in origins)
        {
            origin.BaseAddress = new Uri(Server.Url!);
            origin.Retries = 0;
        }

        configure?.Invoke(Options);
        _services = new(() =>
            new ServiceCollection()
                .AddSingleton<TimeProvider>(Clock)
                .AddTurfWatchWeather(Options)
                .BuildServiceProvider()
        );
    }

    public WireMockServer Server { get; } = WireMockServer.Start();

    public FakeTimeProvider Clock { get; } = new(new(2026, 3, 20, 12, 0, 0, TimeSpan.Zero));

    public string Folder { get; } =
        Path.Combine(Path.GetTempPath(), "turfwatch-tests", Guid.NewGuid().ToString("N"));

    public WeatherOptions Options { get; }

    public Instant Now => Instant.FromDateTimeOffset(Clock.GetUtcNow());

    /// <summary>A lawn in the open, 10 km from a grid point of anything.</summary>
    public static WeatherCell Cell { get; } =
        new()
        {
            Id = "nws:EWX/120,52",
            LatitudeDeg = 29.42,
            LongitudeDeg = -98.49,
            ResolvedAt = Instant.FromUtc(2026, 3, 20, 0, 0),
        };

    public T Get<T>()
        where T : notnull => _services.Value.GetRequiredService<T>();

    public void Answer(string pathPattern, IResponseBuilder response) =>
        Server.Given(Request.Create().WithPath(pathPattern).UsingGet()).RespondWith(response);

    public static IResponseBuilder Json(string body) =>
        Response
            .Create()
            .WithStatusCode(200)
            .WithHeader("Content-Type", "application/json")
            .WithBody(body);

    public static IResponseBuilder Error(
        int status,
        string body,
        string type = "application/json"
    ) => Response.Create().WithStatusCode(status).WithHeader("Content-Type", type).WithBody(body);

    /// <summary>Path and query of each request, in order.</summary>
    public IReadOnlyList<Uri> Asked =>
        [.. Server.LogEntries.Select(e => new Uri(e.RequestMessage!.AbsoluteUrl))];

    public async ValueTask DisposeAsync()
    {
        if (_services.IsValueCreated)
        {
            await _services.Value.DisposeAsync();
        }

        Server.Dispose();
        if (Directory.Exists(Folder))
        {
            Directory.Delete(Folder, recursive: true);
        }
    }
}
