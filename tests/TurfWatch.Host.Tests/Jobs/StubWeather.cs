using NodaTime;
using TurfWatch.Core;
using WireMock.RequestBuilders;
using WireMock.ResponseBuilders;
using WireMock.Server;

namespace TurfWatch.Host.Tests.Jobs;

/// <summary>
/// A weather service of our own that answers in the shapes of the National Weather Service and NASA POWER:
/// mild days, damp nights, no rain.
/// </summary>
internal sealed class StubWeather : IDisposable
{
    private readonly WireMockServer _server = WireMockServer.Start();

    public StubWeather(Place place, Instant now)
    {
        var hour = Instant.FromUnixTimeSeconds(now.ToUnixTimeSeconds() / 3600 * 3600);
        var (lat, lon) = (place.LatitudeDeg, place.LongitudeDeg);
        Answer(
            "/points/*",
            $$$"""{"type":"Feature","properties":{"@type":"wx:Point","gridId":"TST","gridX":7,"gridY":9}}"""
        );
        Answer("/gridpoints/TST/7,9/stations", WeatherBodies.Stations(lat, lon));
        Answer("/gridpoints/TST/7,9", WeatherBodies.Grid(lat, lon, hour));
        Answer("/stations/KTST/observations", WeatherBodies.Observations(hour));
        Answer("/alerts/active", """{"type":"FeatureCollection","features":[]}""");
        Answer("/api/temporal/hourly/point", WeatherBodies.Power(lat, lon, hour));
        Answer(
            "/api/temporal/daily/point",
            WeatherBodies.PowerDays(now.InUtc().Year - 20, now.InUtc().Year - 1)
        );
    }

    public string Url => _server.Url!;

    public int Requests => _server.LogEntries.Count;

    public void Dispose() => _server.Dispose();

    private void Answer(string path, string body) =>
        _server
            .Given(Request.Create().WithPath(path).UsingGet())
            .RespondWith(
                Response.Create().WithHeader("Content-Type", "application/json").WithBody(body)
            );
}
