using System.Globalization;
using NodaTime;
using WireMock.RequestBuilders;
using WireMock.ResponseBuilders;

namespace TurfWatch.Weather.Tests.Desk;

/// <summary>A small National Weather Service on the bench's server: one cell, one station, our own bodies in its shapes.</summary>
internal static class NwsStub
{
    public const double GridTemperature = 15;
    public const double StationTemperature = 17;

    /// <summary>Answers everything: a grid from six hours ago to five days ahead, a day of reports, one warning.</summary>
    public static void AnswersAll(SourceBench bench)
    {
        Point(bench, "EWX/120,52");
        Grid(bench, "EWX/120,52");
        Stations(bench, "EWX/120,52");
        Observations(bench, 24);
        Alerts(bench, Geo(AlertBody(bench.Now)));
    }

    public static void Point(SourceBench bench, string cell)
    {
        var (office, x, y) = Split(cell);
        bench.Answer(
            "/points/*",
            Geo(
                $$"""{"properties":{"gridId":"{{office}}","gridX":{{x}},"gridY":{{y}},"timeZone":"America/Chicago"} }"""
            )
        );
    }

    public static void Grid(SourceBench bench, string cell, IResponseBuilder? answer = null) =>
        bench.Answer($"/gridpoints/{cell}", answer ?? Geo(GridBody(bench.Now)));

    public static void Stations(SourceBench bench, string cell) =>
        bench.Answer(
            $"/gridpoints/{cell}/stations",
            Geo(
                """{"features":[{"geometry":{"type":"Point","coordinates":[-98.47,29.53]},"properties":{"stationIdentifier":"KAAA","elevation":{"unitCode":"wmoUnit:m","value":210} } }]}"""
            )
        );

    public static void Observations(SourceBench bench, int hours) =>
        bench.Answer("/stations/KAAA/observations", Geo(ObservationsBody(bench.Now, hours)));

    public static void Alerts(SourceBench bench, IResponseBuilder answer) =>
        bench.Answer("/alerts/active", answer);

    public static IResponseBuilder Geo(string body) =>
        Response
            .Create()
            .WithStatusCode(200)
            .WithHeader("Content-Type", "application/geo+json")
            .WithBody(body);

    public static IResponseBuilder Problem(int status, string type) =>
        Response
            .Create()
            .WithStatusCode(status)
            .WithHeader("Content-Type", "application/problem+json")
            .WithBody(
                $$"""{"correlationId":"c1","title":"t","type":"https://api.weather.gov/problems/{{type}}","status":{{status}},"detail":"d"}"""
            );

    private static string GridBody(Instant now)
    {
        var start = Iso(now - Duration.FromHours(6)) + "/P5DT6H";
        string Layer(string name, string unit, double value) =>
            string.Create(
                CultureInfo.InvariantCulture,
                $$"""
                "{{name}}":{"uom":"wmoUnit:{{unit}}","values":[{"validTime":"{{start}}","value":{{value}}}]}
                """
            );
        return $$"""
            {"type":"Feature",
            "geometry":{"type":"Polygon","coordinates":[[[-98.6,29.3],[-98.4,29.3],[-98.4,29.6],[-98.6,29.6],[-98.6,29.3]]]},
            "properties":{"updateTime":"{{Iso(
                now - Duration.FromHours(1)
            )}}","elevation":{"unitCode":"wmoUnit:m","value":200},
            {{Layer("temperature", "degC", GridTemperature)}},
            {{Layer("dewpoint", "degC", 9)}},
            {{Layer("relativeHumidity", "percent", 67)}},
            {{Layer("skyCover", "percent", 30)}},
            {{Layer("windSpeed", "km_h-1", 10.8)}},
            {{Layer("probabilityOfPrecipitation", "percent", 20)}}
            } }
            """;
    }

    private static string ObservationsBody(Instant now, int hours)
    {
        var features = Enumerable
            .Range(0, hours)
            .Select(i =>
                $$"""
                {"properties":{"timestamp":"{{Iso(
                    now - Duration.FromHours(i)
                )}}","temperature":{"unitCode":"wmoUnit:degC","value":{{StationTemperature}},"qualityControl":"V"},
                "dewpoint":{"unitCode":"wmoUnit:degC","value":8,"qualityControl":"V"} } }
                """
            );
        return $$"""{"type":"FeatureCollection","features":[{{string.Join(',', features)}}]}""";
    }

    private static string AlertBody(Instant now) =>
        $$"""
            {"type":"FeatureCollection","features":[{"properties":{"id":"urn:1","status":"Actual","messageType":"Alert","event":"Freeze Warning",
            "severity":"Moderate","senderName":"NWS Austin/San Antonio TX","onset":"{{Iso(
                now
            )}}","ends":"{{Iso(now + Duration.FromHours(6))}}","expires":"{{Iso(
                now + Duration.FromHours(3)
            )}}","references":[]} }]}
            """;

    private static string Iso(Instant instant) =>
        instant.ToString("uuuu-MM-dd'T'HH:mm:ss'+00:00'", CultureInfo.InvariantCulture);

    private static (string Office, string X, string Y) Split(string cell)
    {
        var parts = cell.Split('/', ',');
        return (parts[0], parts[1], parts[2]);
    }
}
