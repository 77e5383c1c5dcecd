namespace TurfWatch.Core.Physics;

/// <summary>
/// Water vapour in air. One saturation formula is used both ways (temperature to pressure and back), so
/// that dew points round-trip; it is not the older one inside <see cref="Fao56"/>, which must match its print.
/// A NaN argument gives NaN.
/// </summary>
public static class Psychrometrics
{
    /// <summary>Gas constant of dry air [J/(kg K)].</summary>
    public const double GasConstantDryAir = 287.055;

    /// <summary>Gas constant of water vapour [J/(kg K)].</summary>
    public const double GasConstantVapour = 461.523;

    /// <summary>Specific heat of moist air at constant pressure [J/(kg K)] (FAO-56 eq. 8).</summary>
    public const double SpecificHeatAir = 1013;

    /// <summary>0 °C [K].</summary>
    public const double ZeroCelsiusK = 273.15;

    private const double WaterA = 6.1094;
    private const double WaterB = 17.625;
    private const double WaterC = 243.04;
    private const double IceA = 6.1121;
    private const double IceB = 22.587;
    private const double IceC = 273.86;

    // Drier than any place where grass grows; keeps the logarithm finite.
    private const double LeastVapourHPa = 1e-4;

    /// <summary>Saturation vapour pressure over liquid water [hPa].</summary>
    /// <param name="tempC">Temperature [°C], −100 to 100.</param>
    /// <remarks>
    /// e = 6.1094 exp(17.625 T / (243.04 + T)). Alduchov and Eskridge (1996), J. Appl. Meteorol. 35:601,
    /// eq. 21 (AERK). Fitted −40 to 50 °C, within 0.4 % there.
    /// </remarks>
    public static double SaturationVapourPressureHPa(double tempC)
    {
        Guard.Celsius(tempC);
        return WaterA * Math.Exp(WaterB * tempC / (WaterC + tempC));
    }

    /// <summary>Saturation vapour pressure over ice [hPa].</summary>
    /// <param name="tempC">Temperature [°C], −100 to 100; meaningful to 0.</param>
    /// <remarks>
    /// e = 6.1121 exp(22.587 T / (273.86 + T)). Alduchov and Eskridge (1996), eq. 23 (AERKi). Fitted −80 to 0 °C.
    /// </remarks>
    public static double SaturationVapourPressureIceHPa(double tempC)
    {
        Guard.Celsius(tempC);
        return IceA * Math.Exp(IceB * tempC / (IceC + tempC));
    }

    /// <summary>Vapour pressure of air [hPa].</summary>
    /// <param name="tempC">Air temperature [°C], −100 to 100.</param>
    /// <param name="rhPercent">Relative humidity over water [%]; cut to 0–100.</param>
    public static double VapourPressureHPa(double tempC, double rhPercent) =>
        SaturationVapourPressureHPa(tempC) * Math.Clamp(rhPercent, 0, 100) / 100;

    /// <summary>Dew point, the temperature at which the vapour saturates over water [°C].</summary>
    /// <param name="vapourHPa">Vapour pressure [hPa]; less than 0.0001 counts as 0.0001.</param>
    /// <remarks>Inverse of <see cref="SaturationVapourPressureHPa"/>.</remarks>
    public static double DewPointC(double vapourHPa)
    {
        var g = Math.Log(Math.Max(vapourHPa, LeastVapourHPa) / WaterA);
        return WaterC * g / (WaterB - g);
    }

    /// <summary>Relative humidity over water [0–100 %].</summary>
    /// <param name="tempC">Air temperature [°C], −100 to 100.</param>
    /// <param name="dewPointC">Dew point [°C]; above the air temperature counts as saturated.</param>
    public static double RelativeHumidityPercent(double tempC, double dewPointC) =>
        Math.Min(
            100,
            100 * SaturationVapourPressureHPa(dewPointC) / SaturationVapourPressureHPa(tempC)
        );

    /// <summary>Density of moist air [kg/m³].</summary>
    /// <param name="tempC">Air temperature [°C].</param>
    /// <param name="vapourHPa">Vapour pressure [hPa].</param>
    /// <param name="pressureHPa">Air pressure [hPa], 250 to 1150.</param>
    /// <remarks>ρ = (P − e)/(R_d T) + e/(R_v T), two ideal gases.</remarks>
    public static double AirDensityKgM3(double tempC, double vapourHPa, double pressureHPa)
    {
        Guard.Celsius(tempC);
        Guard.PressureHPa(pressureHPa);
        return 100
            * ((pressureHPa - vapourHPa) / GasConstantDryAir + vapourHPa / GasConstantVapour)
            / (tempC + ZeroCelsiusK);
    }

    /// <summary>Latent heat of vaporisation [J/kg].</summary>
    /// <param name="tempC">Temperature of the water [°C].</param>
    /// <remarks>λ = 2.501 − 2.361·10⁻³ T MJ/kg. FAO-56 annex 3, eq. 3-1 (Harrison 1963). 0 to 40 °C.</remarks>
    public static double LatentHeatJPerKg(double tempC) => 2.501e6 - 2361 * tempC;

    /// <summary>Pressure of the standard atmosphere [hPa].</summary>
    /// <param name="elevationM">Metres above sea level, −500 to 9000.</param>
    /// <remarks>P = 1013.25 (1 − 2.25577·10⁻⁵ z)^5.2559. ASHRAE Handbook Fundamentals (2017) ch. 1 eq. 3.</remarks>
    public static double PressureHPa(double elevationM)
    {
        Guard.Range(
            elevationM,
            -500,
            9000,
            nameof(elevationM),
            "give metres above sea level, not feet"
        );
        return 1013.25 * Math.Pow(1 - 2.25577e-5 * elevationM, 5.2559);
    }

    /// <summary>Psychrometric constant [hPa/K].</summary>
    /// <param name="pressureHPa">Air pressure [hPa].</param>
    /// <remarks>γ = c_p P/(ε λ) = 0.665·10⁻³ P with λ = 2.45 MJ/kg. FAO-56 eq. 8.</remarks>
    public static double PsychrometricConstantHPaPerK(double pressureHPa) => 0.665e-3 * pressureHPa;
}
