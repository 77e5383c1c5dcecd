using System.Globalization;
using System.Text;
using NodaTime;

namespace TurfWatch.Host.Tests.Jobs;

/// <summary>
/// Bodies of our own in the shapes of the National Weather Service and NASA POWER: mild days, damp nights, no rain. The
/// benchmarks use them too.
/// </summary>
internal static class WeatherBodies
{
    private static double AirC(Instant end) =>
        22 - 7 * Math.Cos((end.InUtc().Hour - 21 + 12) * Math.PI / 12);

    private static string Text(double value) =>
        value.ToString("0.##", CultureInfo.InvariantCulture);

    public static string Stations(double lat, double lon) =>
        $$$"""{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[{{{Text(lon)}}},{{{Text(lat)}}}]},"properties":{"elevation":{"unitCode":"wmoUnit:m","value":750},"stationIdentifier":"KTST","name":"A field"}}]}""";

    public static string Grid(double lat, double lon, Instant hour)
    {
        var outline = string.Join(
            ",",
            new[] { (-1, -1), (-1, 1), (1, 1), (1, -1), (-1, -1) }.Select(c =>
                $"[{Text(lon + 0.05 * c.Item1)},{Text(lat + 0.05 * c.Item2)}]"
            )
        );
        string Layer(string name, string unit, Func<Instant, double> value)
        {
            var values = Enumerable
                .Range(0, 120)
                .Select(i => hour + Duration.FromHours(i))
                .Select(start =>
                    $$"""{"validTime":"{{start:uuuu-MM-dd'T'HH:mm:ss}}+00:00/PT1H","value":{{Text(value(start))}}}"""
                );
            return $$"""
                "{{name}}":{"uom":"wmoUnit:{{unit}}","values":[{{string.Join(",", values)}}]}
                """;
        }

        return $$$"""
            {"type":"Feature","geometry":{"type":"Polygon","coordinates":[[{{{outline}}}]]},
            "properties":{"@type":"wx:Gridpoint","updateTime":"{{{hour
                - Duration.FromHours(2):uuuu-MM-dd'T'HH:mm:ss}}}+00:00",
            "elevation":{"unitCode":"wmoUnit:m","value":750},"gridId":"TST","gridX":"7","gridY":"9",
            {{{Layer("temperature", "degC", AirC)}}},
            {{{Layer("dewpoint", "degC", _ => 13.5)}}},
            {{{Layer("relativeHumidity", "percent", _ => 60)}}},
            {{{Layer("skyCover", "percent", _ => 10)}}},
            {{{Layer("windSpeed", "km_h-1", _ => 6)}}},
            {{{Layer("windGust", "km_h-1", _ => 12)}}},
            {{{Layer("quantitativePrecipitation", "mm", _ => 0)}}},
            {{{Layer("probabilityOfPrecipitation", "percent", _ => 0)}}}}}
            """;
    }

    public static string Observations(Instant hour)
    {
        var features = Enumerable
            .Range(0, 72)
            .Select(i => hour - Duration.FromHours(i))
            .Select(at =>
                $$$"""{"type":"Feature","properties":{"timestamp":"{{{at:uuuu-MM-dd'T'HH:mm:ss}}}+00:00","temperature":{"unitCode":"wmoUnit:degC","value":{{{Text(AirC(at))}}},"qualityControl":"V"},"dewpoint":{"unitCode":"wmoUnit:degC","value":13.5,"qualityControl":"V"},"windSpeed":{"unitCode":"wmoUnit:km_h-1","value":6,"qualityControl":"V"},"cloudLayers":[{"amount":"CLR"}]}}"""
            );
        return $$"""{"type":"FeatureCollection","features":[{{string.Join(",", features)}}]}""";
    }

    /// <summary>Daily answer of NASA POWER: the same temperate day throughout the years.</summary>
    public static string PowerDays(int firstYear, int lastYear)
    {
        (string Name, string Unit, double Value)[] columns =
        [
            ("T2M", "C", 10),
            ("T2M_MAX", "C", 16),
            ("T2M_MIN", "C", 4),
            ("PRECTOTCORR", "mm/day", 1),
        ];
        var first = new LocalDate(firstYear, 1, 1);
        var days = Enumerable
            .Range(0, Period.DaysBetween(first, new LocalDate(lastYear, 12, 31)) + 1)
            .Select(first.PlusDays)
            .Select(day => day.ToString("uuuuMMdd", CultureInfo.InvariantCulture))
            .ToList();
        var parameters = columns.Select(c =>
            $"\"{c.Name}\":{{{string.Join(",", days.Select(d => $"\"{d}\":{Text(c.Value)}"))}}}"
        );
        var units = columns.Select(c =>
            $"\"{c.Name}\":{{\"units\":\"{c.Unit}\",\"longname\":\"-\"}}"
        );
        return $$$"""
            {"type":"Feature","geometry":{"type":"Point","coordinates":[-98.75,29.5,200]},
            "properties":{"parameter":{{{{string.Join(",", parameters)}}}}},
            "header":{"title":"NASA/POWER","api":{"version":"v2","name":"POWER Daily API"},"sources":["MERRA2"],"fill_value":-999.0,"time_standard":"LST","start":"x","end":"y"},
            "messages":[],"parameters":{{{{string.Join(",", units)}}}}}
            """;
    }

    public static string Power(double lat, double lon, Instant hour)
    {
        (string Name, string Unit, Func<Instant, double> Value)[] columns =
        [
            ("T2M", "C", AirC),
            ("T2MDEW", "C", _ => 13.5),
            ("RH2M", "%", _ => 60),
            ("WS10M", "m/s", _ => 1.7),
            ("PRECTOTCORR", "mm/hour", _ => 0),
            (
                "ALLSKY_SFC_SW_DWN",
                "Wh/m^2",
                at => Math.Max(0, -900 * Math.Cos((at.InUtc().Hour - 7.4) * Math.PI / 12))
            ),
            ("ALLSKY_SFC_LW_DWN", "W/m^2", _ => 340),
            ("CLOUD_AMT", "%", _ => 10),
        ];
        var first = hour.InUtc().Date.PlusDays(-100);
        var last = hour.InUtc().Date.PlusDays(-5);
        var parameters = new StringBuilder();
        foreach (var (name, _, value) in columns)
        {
            var hours =
                from date in Enumerable
                    .Range(0, Period.DaysBetween(first, last) + 1)
                    .Select(first.PlusDays)
                from h in Enumerable.Range(0, 24)
                let start = date.AtMidnight().PlusHours(h).InUtc().ToInstant()
                select $"\"{start:uuuuMMddHH}\":{Text(value(start))}";
            parameters.Append(parameters.Length == 0 ? "" : ",");
            parameters.Append($"\"{name}\":{{{string.Join(",", hours)}}}");
        }

        var units = string.Join(
            ",",
            columns.Select(c =>
                $$"""
                    "{{c.Name}}":{"units":"{{c.Unit}}","longname":"-"}
                    """
            )
        );
        return $$$"""
            {"type":"Feature","geometry":{"type":"Point","coordinates":[{{{Text(lon)}}},{{{Text(
                lat
            )}}},750]},
            "properties":{"parameter":{{{{parameters}}}}},
            "header":{"title":"NASA/POWER","api":{"version":"v2","name":"POWER Hourly API"},"sources":["POWER"],"fill_value":-999.0,"time_standard":"UTC","start":"x","end":"y"},
            "messages":[],"parameters":{{{{units}}}}}
            """;
    }
}
