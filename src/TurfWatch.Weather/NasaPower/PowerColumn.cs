using TurfWatch.Core;

namespace TurfWatch.Weather.NasaPower;

/// <summary>One parameter of NASA POWER, the column it fills, and the values that can be true.</summary>
/// <param name="Name">POWER's short name.</param>
/// <param name="Column">Our column.</param>
/// <param name="Least">Anything below is taken as missing.</param>
/// <param name="Most">Anything above likewise.</param>
/// <param name="Units">Accepted units, written without signs, and the factor to ours.</param>
internal sealed record PowerColumn(
    string Name,
    WeatherColumn Column,
    double Least,
    double Most,
    params (string Unit, double Factor)[] Units
)
{
    // Community RE gives Wh/m² an hour, which is the mean in W/m²; AG's MJ are rounded to steps of 2.8 W/m².
    private static readonly (string, double)[] Radiation =
    [
        ("wh/m2", 1),
        ("w/m2", 1),
        ("wh/m2/hr", 1),
        ("whr/m2", 1),
        ("kwh/m2", 1000),
        ("kwhr/m2", 1000),
        ("mj/hr", 1e6 / 3600),
        ("mj/m2", 1e6 / 3600),
        ("mj/m2/hr", 1e6 / 3600),
    ];

    public static readonly PowerColumn Temperature = new(
        "T2M",
        WeatherColumn.AirTemperatureC,
        -80,
        60,
        ("c", 1)
    );

    public static readonly PowerColumn[] All =
    [
        Temperature,
        new("T2MDEW", WeatherColumn.DewPointC, -90, 40, ("c", 1)),
        new("RH2M", WeatherColumn.RelativeHumidityPercent, 0, 105, ("%", 1)),
        new("WS10M", WeatherColumn.WindSpeedMS, 0, 90, ("m/s", 1)),
        new("PRECTOTCORR", WeatherColumn.PrecipitationMm, 0, 350, ("mm/hour", 1), ("mm/hr", 1)),
        new("ALLSKY_SFC_SW_DWN", WeatherColumn.ShortwaveWM2, 0, 1500, Radiation),
        new("ALLSKY_SFC_LW_DWN", WeatherColumn.LongwaveDownWM2, 50, 700, Radiation),
        new("CLOUD_AMT", WeatherColumn.CloudCoverPercent, 0, 105, ("%", 1)),
    ];

    public static readonly string Names = string.Join(',', All.Select(c => c.Name));

    /// <summary>Factor from the answer's unit to ours; null when the unit is not one that we know. An answer that names none is in the documented unit.</summary>
    public double? FactorFrom(string? unit)
    {
        if (string.IsNullOrWhiteSpace(unit))
        {
            return 1;
        }

        var plain = unit.ToLowerInvariant().Replace(" ", "").Replace("^", "").Replace("-", "");
        foreach (var (known, factor) in Units)
        {
            if (known == plain)
            {
                return factor;
            }
        }

        return null;
    }
}
