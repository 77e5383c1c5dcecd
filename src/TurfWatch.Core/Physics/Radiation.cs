namespace TurfWatch.Core.Physics;

/// <summary>Short-wave and long-wave radiation from the sky. A NaN argument gives NaN.</summary>
public static class Radiation
{
    /// <summary>Total solar irradiance at the mean distance [W/m²] (Kopp and Lean 2011, Geophys. Res. Lett. 38:L01706).</summary>
    public const double SolarConstantWM2 = 1361;

    /// <summary>Stefan–Boltzmann constant [W/(m² K⁴)].</summary>
    public const double StefanBoltzmann = 5.670374e-8;

    // Below this, a ratio of measured to clear-sky radiation says more about the horizon than about cloud.
    private const double LeastClearSkyWM2 = 30;

    private const double OvercastEmissivity = 0.97;
    private const double CloudDepth = 0.75;
    private const double CloudPower = 3.4;

    /// <summary>Solar radiation on a level surface above the atmosphere [W/m²].</summary>
    /// <param name="cosZenith">Cosine of the zenith angle, or its mean; negative counts as 0.</param>
    /// <param name="distanceFactor">(1/R)² from <see cref="SunPosition.DistanceFactor"/>.</param>
    public static double ExtraterrestrialWM2(double cosZenith, double distanceFactor) =>
        SolarConstantWM2 * distanceFactor * Math.Max(0, cosZenith);

    /// <summary>Global radiation on a level surface under a cloudless sky [W/m²].</summary>
    /// <param name="cosZenith">Cosine of the zenith angle, or its mean over the hour [−1 to 1].</param>
    /// <param name="distanceFactor">(1/R)².</param>
    /// <param name="vapourHPa">Vapour pressure near the ground [hPa].</param>
    /// <param name="pressureHPa">Air pressure [hPa], 250 to 1150.</param>
    /// <remarks>
    /// K_b = 0.98 exp(−0.00146 P/(K_t sin β) − 0.075 (W/sin β)^0.4), W = 0.14 e_a P + 2.1 mm,
    /// K_d = min(0.35 − 0.36 K_b, 0.18 + 0.82 K_b), R_so = (K_b + K_d) R_a, P and e_a in kPa, K_t = 1 (clean air).
    /// ASCE-EWRI (2005) Standardized Reference Evapotranspiration, appendix D eqs. D.1–D.5. Sun below 0.6° counts as 0.6°.
    /// </remarks>
    public static double ClearSkyShortwaveWM2(
        double cosZenith,
        double distanceFactor,
        double vapourHPa,
        double pressureHPa
    )
    {
        Guard.PressureHPa(pressureHPa);
        var extraterrestrial = ExtraterrestrialWM2(cosZenith, distanceFactor);
        return extraterrestrial * Clearness(cosZenith, vapourHPa / 10, pressureHPa / 10);
    }

    /// <summary>Share of extraterrestrial radiation that reaches the ground under a cloudless sky [0–1]; same source.</summary>
    internal static double Clearness(double sinElevation, double vapourKPa, double pressureKPa)
    {
        var sin = Math.Max(sinElevation, 0.01);
        var water = 0.14 * Math.Max(0, vapourKPa) * pressureKPa + 2.1;
        var beam =
            0.98 * Math.Exp(-0.00146 * pressureKPa / sin - 0.075 * Math.Pow(water / sin, 0.4));
        var diffuse = Math.Min(0.35 - 0.36 * beam, 0.18 + 0.82 * beam);
        return beam + diffuse;
    }

    /// <summary>Global radiation under a partly cloudy sky [W/m²].</summary>
    /// <param name="clearSky">Cloudless global radiation [W/m²].</param>
    /// <param name="cloudCoverPercent">Share of the sky covered [%]; cut to 0–100.</param>
    /// <remarks>
    /// G = G₀ (1 − 0.75 N^3.4). Kasten and Czeplak (1980), Solar Energy 24:177, eq. 4; N in tenths of one. Fitted on hourly
    /// means at Hamburg; a quarter of clear-sky radiation passes an overcast on average, with a wide spread by cloud kind.
    /// </remarks>
    public static double CloudyShortwaveWM2(double clearSky, double cloudCoverPercent) =>
        clearSky
        * (1 - CloudDepth * Math.Pow(Math.Clamp(cloudCoverPercent, 0, 100) / 100, CloudPower));

    /// <summary>Cloud cover that would give the measured radiation, the inverse of <see cref="CloudyShortwaveWM2"/> [0–1].</summary>
    /// <param name="shortwave">Global radiation [W/m²].</param>
    /// <param name="clearSky">Cloudless global radiation [W/m²].</param>
    /// <returns>NaN when the sun is too low to tell (cloudless radiation under 30 W/m²).</returns>
    public static double CloudFractionFromShortwave(double shortwave, double clearSky)
    {
        if (!(clearSky >= LeastClearSkyWM2))
        {
            return double.NaN;
        }

        var lost = Math.Clamp((1 - shortwave / clearSky) / CloudDepth, 0, 1);
        return Math.Pow(lost, 1 / CloudPower);
    }

    /// <summary>Long-wave radiation from a cloudless sky [W/m²].</summary>
    /// <param name="tempC">Air temperature near the ground [°C].</param>
    /// <param name="vapourHPa">Vapour pressure near the ground [hPa]; negative counts as 0.</param>
    /// <remarks>
    /// ε = 1 − (1 + w) exp(−√(1.2 + 3 w)), w = 46.5 e/T (T in K, e in hPa: precipitable water in g/cm²).
    /// Prata (1996), Q. J. R. Meteorol. Soc. 122:1127.
    /// </remarks>
    public static double ClearSkyLongwaveDownWM2(double tempC, double vapourHPa)
    {
        Guard.Celsius(tempC);
        var kelvin = tempC + Psychrometrics.ZeroCelsiusK;
        var w = 46.5 * Math.Max(0, vapourHPa) / kelvin;
        var emissivity = 1 - (1 + w) * Math.Exp(-Math.Sqrt(1.2 + 3 * w));
        return emissivity * BlackBodyWM2(kelvin);
    }

    /// <summary>Long-wave radiation from the sky [W/m²].</summary>
    /// <param name="tempC">Air temperature near the ground [°C].</param>
    /// <param name="vapourHPa">Vapour pressure near the ground [hPa].</param>
    /// <param name="cloudFraction">Share of the sky covered; cut to 0–1.</param>
    /// <remarks>
    /// ε = ε₀ (1 − c^p) + ε_oc c^p: the form of Konzelmann et al. (1994), Glob. Planet. Change 9:143, whose glacier hours
    /// gave p = 4 and ε_oc = 0.952. Here p = 2.5 and ε_oc = 0.97, fitted to hourly long-wave and cloud records of the German
    /// weather service at Hamburg; docs/science/sun-and-radiation.md compares it with the published pairs.
    /// </remarks>
    public static double LongwaveDownWM2(double tempC, double vapourHPa, double cloudFraction)
    {
        var cloud = Math.Clamp(cloudFraction, 0, 1);
        var share = cloud * cloud * Math.Sqrt(cloud);
        var clear = ClearSkyLongwaveDownWM2(tempC, vapourHPa);
        var overcast = OvercastEmissivity * BlackBodyWM2(tempC + Psychrometrics.ZeroCelsiusK);
        return clear + share * Math.Max(0, overcast - clear);
    }

    /// <summary>Radiation of a black body [W/m²].</summary>
    /// <param name="kelvin">Temperature [K].</param>
    internal static double BlackBodyWM2(double kelvin)
    {
        var square = kelvin * kelvin;
        return StefanBoltzmann * square * square;
    }
}
