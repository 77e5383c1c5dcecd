namespace TurfWatch.Core.Physics;

/// <summary>One day of weather for reference evapotranspiration.</summary>
/// <param name="MaxTemperatureC">Highest air temperature [°C].</param>
/// <param name="MinTemperatureC">Lowest air temperature [°C].</param>
/// <param name="VapourHPa">Mean actual vapour pressure [hPa].</param>
/// <param name="WindAt2mMS">Mean wind speed at 2 m [m/s].</param>
/// <param name="ShortwaveMJM2">Global radiation [MJ/m²].</param>
/// <param name="LatitudeDeg">Degrees north.</param>
/// <param name="ElevationM">Metres above sea level.</param>
/// <param name="DayOfYear">1 to 366.</param>
/// <param name="SoilHeatMJM2">Heat into the soil [MJ/m²]; 0 for one day.</param>
public readonly record struct DailyEtInputs(
    double MaxTemperatureC,
    double MinTemperatureC,
    double VapourHPa,
    double WindAt2mMS,
    double ShortwaveMJM2,
    double LatitudeDeg,
    double ElevationM,
    int DayOfYear,
    double SoilHeatMJM2 = 0
);

/// <summary>One hour of weather for reference evapotranspiration.</summary>
/// <param name="AirTemperatureC">Mean air temperature [°C].</param>
/// <param name="VapourHPa">Mean actual vapour pressure [hPa].</param>
/// <param name="WindAt2mMS">Mean wind speed at 2 m [m/s].</param>
/// <param name="ShortwaveWM2">Mean global radiation [W/m²].</param>
/// <param name="ClearSkyRatio">Global radiation over cloudless radiation [0–1]; by night that of the last hours before sunset.</param>
/// <param name="PressureHPa">Air pressure [hPa].</param>
public readonly record struct HourlyEtInputs(
    double AirTemperatureC,
    double VapourHPa,
    double WindAt2mMS,
    double ShortwaveWM2,
    double ClearSkyRatio,
    double PressureHPa
);

/// <summary>
/// Evapotranspiration of a well-watered, clipped cool-season grass 0.12 m tall (the short reference). FAO-56 and ASCE-2005
/// agree by the day; by the hour they differ in the surface resistance, so their check values must not be mixed.
/// A NaN input gives NaN.
/// </summary>
public static class ReferenceEvapotranspiration
{
    private const double MJPerHourPerWatt = 0.0036;

    /// <summary>Reference evapotranspiration of a day, FAO Penman–Monteith [mm].</summary>
    /// <param name="day">The weather of the day.</param>
    /// <remarks>
    /// ET₀ = [0.408 Δ (R_n − G) + γ 900/(T + 273) u₂ (e_s − e_a)] / [Δ + γ (1 + 0.34 u₂)], FAO-56 eq. 6, with e_s the mean of
    /// e° at the extremes (eq. 12) and R_so by eq. 37. Not less than 0 (a day of net condensation counts as 0).
    /// </remarks>
    public static double DailyFao56Mm(in DailyEtInputs day)
    {
        var vapour = day.VapourHPa / 10;
        var mean = (day.MaxTemperatureC + day.MinTemperatureC) / 2;
        var saturation =
            (
                Fao56.SaturationVapourPressureKPa(day.MaxTemperatureC)
                + Fao56.SaturationVapourPressureKPa(day.MinTemperatureC)
            ) / 2;
        var extraterrestrial = Fao56.DailyExtraterrestrialMJM2(day.LatitudeDeg, day.DayOfYear);
        var clear = Fao56.ClearSkySolar(extraterrestrial, day.ElevationM);
        var net =
            Fao56.NetShortwave(day.ShortwaveMJM2)
            - Fao56.DailyNetLongwaveMJM2(
                day.MaxTemperatureC,
                day.MinTemperatureC,
                vapour,
                clear > 0 ? day.ShortwaveMJM2 / clear : 1
            );
        var et = PenmanMonteith(
            mean,
            net - day.SoilHeatMJM2,
            day.WindAt2mMS,
            saturation - vapour,
            Fao56.PressureKPa(day.ElevationM),
            900,
            0.34
        );
        return Math.Max(0, et);
    }

    /// <summary>Reference evapotranspiration of an hour, FAO-56 form (surface resistance 70 s/m day and night) [mm].</summary>
    /// <param name="hour">The weather of the hour.</param>
    /// <remarks>
    /// ET₀ = [0.408 Δ (R_n − G) + γ 37/(T + 273) u₂ (e° − e_a)] / [Δ + γ (1 + 0.34 u₂)], FAO-56 eq. 53; G = 0.1 R_n by day
    /// (eq. 45), 0.5 R_n by night (eq. 46), night where R_n &lt; 0. May be slightly negative (condensation).
    /// </remarks>
    public static double HourlyFao56Mm(in HourlyEtInputs hour) => Hourly(hour, 0.34, 0.34);

    /// <summary>Reference evapotranspiration of an hour, ASCE standardized short reference [mm].</summary>
    /// <param name="hour">The weather of the hour.</param>
    /// <remarks>
    /// As FAO-56 eq. 53 with C_d 0.24 by day and 0.96 by night, night where R_n &lt; 0. ASCE-EWRI (2005) eq. 1 and table 1.
    /// May be slightly negative (condensation).
    /// </remarks>
    public static double HourlyAsceMm(in HourlyEtInputs hour) => Hourly(hour, 0.24, 0.96);

    private static double Hourly(in HourlyEtInputs hour, double dayCd, double nightCd)
    {
        var vapour = hour.VapourHPa / 10;
        var net =
            Fao56.NetShortwave(hour.ShortwaveWM2 * MJPerHourPerWatt)
            - Fao56.HourlyNetLongwaveMJM2(hour.AirTemperatureC, vapour, hour.ClearSkyRatio);
        var night = net < 0;
        return PenmanMonteith(
            hour.AirTemperatureC,
            net * (night ? 0.5 : 0.9),
            hour.WindAt2mMS,
            Fao56.SaturationVapourPressureKPa(hour.AirTemperatureC) - vapour,
            hour.PressureHPa / 10,
            37,
            night ? nightCd : dayCd
        );
    }

    private static double PenmanMonteith(
        double tempC,
        double availableMJM2,
        double windMS,
        double deficitKPa,
        double pressureKPa,
        double cn,
        double cd
    )
    {
        Guard.Range(windMS, 0, 100, nameof(windMS), "give wind at 2 m in m/s, not negative");
        Guard.PressureHPa(pressureKPa * 10);
        var slope = Fao56.SlopeKPaPerK(tempC);
        var gamma = Fao56.PsychrometricConstantKPaPerK(pressureKPa);
        return (0.408 * slope * availableMJM2 + gamma * cn / (tempC + 273) * windMS * deficitKPa)
            / (slope + gamma * (1 + cd * windMS));
    }
}
