using System.Globalization;
using System.Text;
using NodaTime;

namespace TurfWatch.Weather.Tests.NasaPower;

/// <summary>Bodies of our own in the shape of NASA POWER's hourly point answer.</summary>
internal static class PowerBody
{
    public static readonly (string Name, string Unit)[] Parameters =
    [
        ("T2M", "C"),
        ("T2MDEW", "C"),
        ("RH2M", "%"),
        ("WS10M", "m/s"),
        ("PRECTOTCORR", "mm/hour"),
        ("ALLSKY_SFC_SW_DWN", "Wh/m^2"),
        ("ALLSKY_SFC_LW_DWN", "W/m^2"),
        ("CLOUD_AMT", "%"),
    ];

    /// <summary>Every hour of the days; <paramref name="value"/> gives the number for a parameter and the start of an hour.</summary>
    public static string Days(
        LocalDate first,
        LocalDate last,
        Func<string, Instant, double> value,
        double fill = -999,
        double elevationM = 200,
        string timeStandard = "UTC",
        Func<string, string, string>? unit = null
    )
    {
        var parameters = new StringBuilder();
        foreach (var (name, _) in Parameters)
        {
            var start = first.AtMidnight().InUtc().ToInstant();
            var end = last.PlusDays(1).AtMidnight().InUtc().ToInstant();
            parameters.Append(parameters.Length == 0 ? "" : ",").Append($"\"{name}\":{{");
            for (var hour = start; hour < end; hour += Duration.FromHours(1))
            {
                var stamp = hour.ToString("uuuuMMddHH", CultureInfo.InvariantCulture);
                parameters.Append(hour == start ? "" : ",");
                parameters.Append(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"\"{stamp}\":{value(name, hour):0.0##}"
                    )
                );
            }

            parameters.Append('}');
        }

        var units = string.Join(
            ',',
            Parameters.Select(p =>
                $$"""
                    "{{p.Name}}":{"units":"{{unit?.Invoke(p.Name, p.Unit)
                        ?? p.Unit}}","longname":"-"}
                    """
            )
        );
        return $$$"""
            {"type":"Feature","geometry":{"type":"Point","coordinates":[-98.75,29.5,{{{elevationM}}}]},
            "properties":{"parameter":{{{{parameters}}}}},
            "header":{"title":"NASA/POWER Source Native Resolution Hourly Data","api":{"version":"v2.10.0","name":"POWER Hourly API"},
            "sources":["SYN1DEG","MERRA2","POWER"],"fill_value":{{{fill:0.0}}},"time_standard":"{{{timeStandard}}}","start":"x","end":"y"},
            "messages":[],"parameters":{{{{units}}}},"times":{"data":1.2,"process":0.1}}
            """;
    }

    /// <summary>A plausible value that tells the parameter and the hour apart.</summary>
    public static double Usual(string name, Instant start) =>
        start.InUtc().Hour
        + name switch
        {
            "T2M" => 10,
            "T2MDEW" => 0,
            "RH2M" => 50,
            "WS10M" => 1,
            "PRECTOTCORR" => 0.5,
            "ALLSKY_SFC_SW_DWN" => 100,
            "ALLSKY_SFC_LW_DWN" => 300,
            _ => 20,
        };
}
