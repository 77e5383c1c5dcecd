using System.Globalization;
using System.Text;
using NodaTime;

namespace TurfWatch.Weather.Tests.NasaPower;

/// <summary>Bodies of our own in the shape of NASA POWER's daily point answer.</summary>
internal static class PowerDailyBody
{
    private static readonly (string Name, string Unit)[] Parameters =
    [
        ("T2M", "C"),
        ("T2M_MAX", "C"),
        ("T2M_MIN", "C"),
        ("PRECTOTCORR", "mm/day"),
        ("T2MDEW", "C"),
        ("WS10M", "m/s"),
        ("ALLSKY_SFC_SW_DWN", "MJ/m^2/day"),
    ];

    /// <summary>Every day from first to last, 29 February where there is one.</summary>
    public static string Days(
        LocalDate first,
        LocalDate last,
        Func<string, LocalDate, double> value,
        double fill = -999,
        double elevationM = 200,
        string timeStandard = "LST",
        Func<string, string, string>? unit = null
    )
    {
        var parameters = new StringBuilder();
        foreach (var (name, _) in Parameters)
        {
            parameters.Append(parameters.Length == 0 ? "" : ",").Append($"\"{name}\":{{");
            for (var day = first; day <= last; day = day.PlusDays(1))
            {
                var stamp = day.ToString("uuuuMMdd", CultureInfo.InvariantCulture);
                parameters.Append(day == first ? "" : ",");
                parameters.Append(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"\"{stamp}\":{value(name, day):0.0##}"
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
            "header":{"title":"NASA/POWER Source Native Resolution Daily Data","api":{"version":"v2.10.0","name":"POWER Daily API"},
            "sources":["MERRA2","POWER"],"fill_value":{{{fill:0.0}}},"time_standard":"{{{timeStandard}}}","start":"x","end":"y"},
            "messages":[],"parameters":{{{{units}}}},"times":{"data":1.2,"process":0.1}}
            """;
    }

    /// <summary>20 °C by day and 0.5 °C by night, but for a freeze on every 10 November and 3 March.</summary>
    public static double Usual(string name, LocalDate day) =>
        name switch
        {
            "T2M" => 10,
            "T2M_MAX" => 20,
            "T2M_MIN" => day is { Month: 11, Day: 10 } or { Month: 3, Day: 3 } ? -1 : 0.5,
            "T2MDEW" => 4,
            "WS10M" => 2.5,
            "ALLSKY_SFC_SW_DWN" => 18,
            _ => 3,
        };
}
