using Microsoft.Extensions.DependencyInjection;
using TurfWatch.Weather.Http;
using WireMock.ResponseBuilders;
using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>The plumbing pointed at a stub.</summary>
internal sealed class Bench : StubService
{
    public const string Value = """{"value":1.5}""";

    /// <summary>A day's stand-in, ten minutes fresh unless the service says otherwise.</summary>
    public static readonly CacheRule Rule = new(
        TimeSpan.FromSeconds(30),
        TimeSpan.FromMinutes(10),
        TimeSpan.FromHours(1),
        TimeSpan.FromHours(24)
    );

    private readonly IProbeApi _api;
    private readonly WeatherReader _reader;

    public Bench(
        Action<WeatherOptions, OriginOptions>? configure = null,
        string? folder = null,
        Func<DelegatingHandler>? innermost = null
    )
    {
        Folder = folder ?? Folder;
        var weather = new WeatherOptions { CacheDirectory = Folder, Contact = "ops@example.test" };
        var origin = new OriginOptions { BaseAddress = new Uri(Server.Url!) };
        configure?.Invoke(weather, origin);
        Start(s =>
            s.AddWeatherHttp(weather)
                .AddWeatherOrigin<IProbeApi>("probe", origin, innermost: innermost)
        );
        _api = Services.GetRequiredService<IProbeApi>();
        _reader = new("probe", "The Probe Service", Clock);
    }

    public static IResponseBuilder Ok() => Json(Value);

    /// <summary>As if another request had just been told to wait.</summary>
    public void Hold(TimeSpan span) =>
        Services.GetRequiredKeyedService<OriginState>("probe").HoldUntil(Clock.GetUtcNow() + span);

    public Task<WeatherAnswer<Probe>> AskAsync(
        string id = "a",
        CacheRule? rule = null,
        CancellationToken ct = default
    ) =>
        _reader.ReadAsync(() => _api.ThingAsync(id, rule ?? Rule, ct), ProbeJson.Default.Probe, ct);
}
