using Microsoft.Extensions.DependencyInjection;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;
using TurfWatch.Weather.Nws;
using TurfWatch.Weather.Tests.Http;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>The National Weather Service's source pointed at a stub.</summary>
internal sealed class NwsBench : StubService
{
    public static readonly Place Home = new(
        "00000",
        "Testville",
        "NE",
        40.0,
        -100.0,
        "America/Chicago"
    );

    public static readonly WeatherCell Cell = new()
    {
        Id = "nws:TST/7,9",
        LatitudeDeg = 40,
        LongitudeDeg = -100,
        ElevationM = 600,
        GridId = "TST",
        GridX = 7,
        GridY = 9,
        StationIds = ["KAAA", "KBBB"],
        ResolvedAt = Instant.FromUtc(2026, 3, 1, 0, 0),
    };

    public NwsBench()
    {
        var weather = new WeatherOptions { CacheDirectory = Folder, Contact = "ops@example.test" };
        weather.Nws.BaseAddress = new(Server.Url!);
        Start(s => s.AddWeatherHttp(weather).AddNws(weather.Nws));
        Source = Services.GetRequiredService<NwsSource>();
    }

    public NwsSource Source { get; }

    public const string GridPath = "/gridpoints/TST/7,9";

    public Instant Now => Instant.FromDateTimeOffset(Clock.GetUtcNow());

    public Task<SourceHours> ForecastAsync() => Source.ForecastAsync(Cell, default);

    public static string Point(string grid = "\"gridId\":\"TST\",\"gridX\":7,\"gridY\":9") =>
        $$$"""{"id":"https://example.test/points/40,-100","type":"Feature","geometry":{"type":"Point","coordinates":[-100,40]},"properties":{"@type":"wx:Point","cwa":"XXX",{{{grid}}},"timeZone":"America/Chicago"}}""";

    public static string Stations(
        params (string Id, double Lat, double Lon, double? HeightM)[] all
    ) =>
        $$"""{"type":"FeatureCollection","features":[{{string.Join(
            ",",
            all.Select(s =>
                $$$"""{"type":"Feature","geometry":{"type":"Point","coordinates":[{{{s.Lon}}},{{{s.Lat}}}]},"properties":{"elevation":{"unitCode":"wmoUnit:m","value":{{{(s.HeightM is { } h ? $"{h}" : "null")}}}},"stationIdentifier":"{{{s.Id}}}","name":"A field"}}"""
            )
        )}}]}""";
}
