using System.Globalization;
using System.Text.Json;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>Writes gridpoint answers of our own in the service's shape.</summary>
internal sealed class GridBody
{
    /// <summary>A cell of our own around 40 N, 100 W.</summary>
    public const string Outline =
        """{"type":"Polygon","coordinates":[[[-100.02,39.99],[-100.02,40.01],[-99.98,40.01],[-99.98,39.99],[-100.02,39.99]]]}""";

    private readonly SortedDictionary<string, string> _layers = new(StringComparer.Ordinal);

    public string? UpdateTime { get; set; } = "2026-03-01T11:00:00+00:00";

    public string Geometry { get; set; } = Outline;

    public GridBody Layer(string name, string? uom, params (string Time, object? Value)[] values)
    {
        var items = values.Select(v => new { validTime = v.Time, value = v.Value });
        _layers[name] = JsonSerializer.Serialize(new { uom, values = items });
        return this;
    }

    public GridBody Raw(string name, string json)
    {
        _layers[name] = json;
        return this;
    }

    public GridBody Without(string name)
    {
        _layers.Remove(name);
        return this;
    }

    /// <summary>A whole day and more from 06:00 UTC on, six hours before the tests' clock.</summary>
    public static GridBody Usual() =>
        new GridBody()
            .Layer(
                "temperature",
                "wmoUnit:degC",
                ("2026-03-01T06:00:00+00:00/PT12H", 10),
                ("2026-03-01T18:00:00+00:00/P1DT12H", 15)
            )
            .Layer("dewpoint", "wmoUnit:degC", ("2026-03-01T06:00:00+00:00/P2D", 5))
            .Layer("relativeHumidity", "wmoUnit:percent", ("2026-03-01T06:00:00+00:00/P1DT12H", 71))
            .Layer("skyCover", "wmoUnit:percent", ("2026-03-01T06:00:00+00:00/P2D", 40))
            .Layer("windSpeed", "wmoUnit:km_h-1", ("2026-03-01T06:00:00+00:00/P2D", 18))
            .Layer("windGust", "wmoUnit:km_h-1", ("2026-03-01T06:00:00+00:00/P2D", 36))
            .Layer(
                "quantitativePrecipitation",
                "wmoUnit:mm",
                ("2026-03-01T06:00:00+00:00/PT3H", 0),
                ("2026-03-01T09:00:00+00:00/PT6H", 3)
            )
            .Layer(
                "probabilityOfPrecipitation",
                "wmoUnit:percent",
                ("2026-03-01T06:00:00+00:00/P2D", 20)
            )
            .Raw(
                "heatIndex",
                """{"uom":"wmoUnit:degC","values":[{"validTime":"2026-03-01T06:00:00+00:00/P2D","value":null}]}"""
            )
            .Raw(
                "weather",
                """{"values":[{"validTime":"2026-03-01T06:00:00+00:00/P2D","value":[{"coverage":null,"weather":null,"attributes":[]}]}]}"""
            )
            .Raw("hazards", """{"values":[]}""");

    public string Properties()
    {
        var updated = UpdateTime is null ? "" : $"\"updateTime\":\"{UpdateTime}\",";
        var layers = string.Join(",", _layers.Select(l => $"\"{l.Key}\":{l.Value}"));
        return $$"""
            {"@type":"wx:Gridpoint",{{updated}}"validTimes":"2026-03-01T06:00:00+00:00/P2D",
             "elevation":{"unitCode":"wmoUnit:m","value":600.5},"gridId":"TST","gridX":"7","gridY":"9",{{layers}}}
            """;
    }

    public override string ToString() =>
        $$"""{"@context":[],"id":"https://example.test/gridpoints/TST/7,9","type":"Feature","geometry":{{Geometry}},"properties":{{Properties()}}}""";

    public JsonElement Parsed() => JsonDocument.Parse(Properties()).RootElement;

    public static string Time(Instant start, int hours)
    {
        var (days, rest) = (hours / 24, hours % 24);
        var length =
            days == 0 ? $"PT{rest}H"
            : rest == 0 ? $"P{days}D"
            : $"P{days}DT{rest}H";
        return InstantPattern.General.Format(start).Replace("Z", "+00:00", StringComparison.Ordinal)
            + "/"
            + length.ToString(CultureInfo.InvariantCulture);
    }
}
