namespace TurfWatch.Weather.Nws;

/// <summary>
/// Unit codes as the service writes them, "wmoUnit:km_h-1" and the older "unit:m_s-1" alike: what counts
/// stands after the colon. The unit of one quantity has changed more than once, so none is assumed.
/// </summary>
internal static class NwsUnits
{
    /// <summary>Converts to °C, %, m/s, mm or m of height, whichever the quantity is held in; null when the unit is not known for it.</summary>
    public static Func<double, double>? To(NwsQuantity quantity, string? unitCode) =>
        (quantity, unitCode?[(unitCode.LastIndexOf(':') + 1)..]) switch
        {
            (NwsQuantity.TemperatureC, "degC") => v => v,
            (NwsQuantity.TemperatureC, "degF") => v => (v - 32) / 1.8,
            (NwsQuantity.TemperatureC, "K") => v => v - 273.15,
            (NwsQuantity.Percent, "percent") => v => v,
            (NwsQuantity.SpeedMS, "m_s-1") => v => v,
            (NwsQuantity.SpeedMS, "km_h-1") => v => v / 3.6,
            (NwsQuantity.WaterMm, "mm") => v => v,
            (NwsQuantity.WaterMm, "m") => v => v * 1000,
            (NwsQuantity.HeightM, "m") => v => v,
            _ => null,
        };
}

/// <summary>What a number measures, and in which unit we hold it.</summary>
internal enum NwsQuantity
{
    TemperatureC,
    Percent,
    SpeedMS,
    WaterMm,
    HeightM,
}
