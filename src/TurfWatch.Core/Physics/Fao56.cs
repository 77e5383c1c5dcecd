namespace TurfWatch.Core.Physics;

/// <summary>
/// The equations of FAO-56 as printed, kPa and MJ and all: Allen, Pereira, Raes and Smith (1998), Crop
/// evapotranspiration, FAO Irrigation and Drainage Paper 56. They belong together; the rest of the physics uses
/// <see cref="Psychrometrics"/>, <see cref="Sun"/> and <see cref="Radiation"/>. A NaN argument gives NaN.
/// </summary>
public static class Fao56
{
    private const double SolarConstantMJM2Min = 0.0820;
    private const double StefanBoltzmannDaily = 4.903e-9;
    private const double StefanBoltzmannHourly = 2.043e-10;
    private const double KelvinOfFao = 273.16;

    /// <summary>Air pressure [kPa]. P = 101.3 ((293 − 0.0065 z)/293)^5.26, eq. 7.</summary>
    /// <param name="elevationM">Metres above sea level.</param>
    public static double PressureKPa(double elevationM) =>
        101.3 * Math.Pow((293 - 0.0065 * elevationM) / 293, 5.26);

    /// <summary>Psychrometric constant [kPa/K]. γ = 0.665·10⁻³ P, eq. 8.</summary>
    /// <param name="pressureKPa">Air pressure [kPa].</param>
    public static double PsychrometricConstantKPaPerK(double pressureKPa) => 0.665e-3 * pressureKPa;

    /// <summary>Saturation vapour pressure [kPa]. e° = 0.6108 exp(17.27 T/(T + 237.3)), eq. 11.</summary>
    /// <param name="tempC">Temperature [°C].</param>
    public static double SaturationVapourPressureKPa(double tempC)
    {
        Guard.Celsius(tempC);
        return 0.6108 * Math.Exp(17.27 * tempC / (tempC + 237.3));
    }

    /// <summary>Slope of saturation vapour pressure [kPa/K]. Δ = 4098 e°/(T + 237.3)², eq. 13.</summary>
    /// <param name="tempC">Temperature [°C].</param>
    public static double SlopeKPaPerK(double tempC)
    {
        var t = tempC + 237.3;
        return 4098 * SaturationVapourPressureKPa(tempC) / (t * t);
    }

    /// <summary>Wind speed at 2 m over short grass [m/s]. u₂ = u_z 4.87/ln(67.8 z − 5.42), eq. 47.</summary>
    /// <param name="windMS">Wind speed [m/s].</param>
    /// <param name="heightM">Height of that wind above ground [m], 0.5 to 200.</param>
    public static double WindAt2mMS(double windMS, double heightM)
    {
        Guard.Range(heightM, 0.5, 200, nameof(heightM), "give metres above ground");
        return windMS * 4.87 / Math.Log(67.8 * heightM - 5.42);
    }

    /// <summary>Inverse relative distance of earth and sun. d_r = 1 + 0.033 cos(2πJ/365), eq. 23.</summary>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    public static double InverseRelativeDistance(int dayOfYear) =>
        1 + 0.033 * Math.Cos(YearAngle(dayOfYear));

    /// <summary>Solar declination [rad]. δ = 0.409 sin(2πJ/365 − 1.39), eq. 24.</summary>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    public static double DeclinationRad(int dayOfYear) =>
        0.409 * Math.Sin(YearAngle(dayOfYear) - 1.39);

    /// <summary>Hour angle of sunset [rad]. ω_s = arccos(−tan φ tan δ), eq. 25; π in polar day, 0 in polar night.</summary>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    public static double SunsetHourAngleRad(double latDeg, int dayOfYear)
    {
        Guard.Latitude(latDeg);
        var tan = -Math.Tan(latDeg * Math.PI / 180) * Math.Tan(DeclinationRad(dayOfYear));
        return Math.Acos(Math.Clamp(tan, -1, 1));
    }

    /// <summary>Daylight hours [h]. N = 24 ω_s/π, eq. 34.</summary>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    public static double DaylightHours(double latDeg, int dayOfYear) =>
        24 / Math.PI * SunsetHourAngleRad(latDeg, dayOfYear);

    /// <summary>Extraterrestrial radiation of a day [MJ/m²], eq. 21.</summary>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    public static double DailyExtraterrestrialMJM2(double latDeg, int dayOfYear)
    {
        var sunset = SunsetHourAngleRad(latDeg, dayOfYear);
        var (sinLat, cosLat) = Math.SinCos(latDeg * Math.PI / 180);
        var (sinDec, cosDec) = Math.SinCos(DeclinationRad(dayOfYear));
        return 24
            * 60
            / Math.PI
            * SolarConstantMJM2Min
            * InverseRelativeDistance(dayOfYear)
            * (sunset * sinLat * sinDec + cosLat * cosDec * Math.Sin(sunset));
    }

    /// <summary>Seasonal correction for solar time [h], eqs. 32–33.</summary>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    public static double SeasonalCorrectionH(int dayOfYear)
    {
        var b = 2 * Math.PI * (dayOfYear - 81) / 364;
        return 0.1645 * Math.Sin(2 * b) - 0.1255 * Math.Cos(b) - 0.025 * Math.Sin(b);
    }

    /// <summary>Solar hour angle at the middle of a period [rad]. ω = π/12 [(t + 0.06667 (L_z − L_m) + S_c) − 12], eq. 31.</summary>
    /// <param name="standardTimeH">Standard clock time at the middle of the period [h].</param>
    /// <param name="zoneMeridianDegWest">Longitude of the centre of the time zone [° west].</param>
    /// <param name="siteDegWest">Longitude of the site [° west].</param>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    public static double SolarHourAngleRad(
        double standardTimeH,
        double zoneMeridianDegWest,
        double siteDegWest,
        int dayOfYear
    ) =>
        Math.PI
        / 12
        * (
            standardTimeH
            + 0.06667 * (zoneMeridianDegWest - siteDegWest)
            + SeasonalCorrectionH(dayOfYear)
            - 12
        );

    /// <summary>Extraterrestrial radiation of an hour [MJ/m²], eq. 28, the night cut off.</summary>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    /// <param name="hourAngleRad">Solar hour angle at the middle of the hour [rad], −π to π.</param>
    public static double HourlyExtraterrestrialMJM2(
        double latDeg,
        int dayOfYear,
        double hourAngleRad
    )
    {
        var sunset = SunsetHourAngleRad(latDeg, dayOfYear);
        var from = Math.Clamp(hourAngleRad - Math.PI / 24, -sunset, sunset);
        var to = Math.Clamp(hourAngleRad + Math.PI / 24, -sunset, sunset);
        var (sinLat, cosLat) = Math.SinCos(latDeg * Math.PI / 180);
        var (sinDec, cosDec) = Math.SinCos(DeclinationRad(dayOfYear));
        return 12
            * 60
            / Math.PI
            * SolarConstantMJM2Min
            * InverseRelativeDistance(dayOfYear)
            * ((to - from) * sinLat * sinDec + cosLat * cosDec * (Math.Sin(to) - Math.Sin(from)));
    }

    /// <summary>Clear-sky solar radiation. R_so = (0.75 + 2·10⁻⁵ z) R_a, eq. 37; in the unit of R_a.</summary>
    /// <param name="extraterrestrial">R_a.</param>
    /// <param name="elevationM">Metres above sea level.</param>
    public static double ClearSkySolar(double extraterrestrial, double elevationM) =>
        (0.75 + 2e-5 * elevationM) * extraterrestrial;

    /// <summary>Net short-wave radiation of short grass, albedo 0.23. R_ns = 0.77 R_s, eq. 38; in the unit of R_s.</summary>
    /// <param name="solar">R_s.</param>
    public static double NetShortwave(double solar) => 0.77 * solar;

    /// <summary>Net outgoing long-wave radiation of a day [MJ/m²], eq. 39.</summary>
    /// <param name="maxTempC">Highest temperature of the day [°C].</param>
    /// <param name="minTempC">Lowest temperature of the day [°C].</param>
    /// <param name="vapourKPa">Actual vapour pressure [kPa].</param>
    /// <param name="clearSkyRatio">R_s/R_so; cut to 0.3–1 (the lower limit is that of ASCE 2005, eq. 18).</param>
    public static double DailyNetLongwaveMJM2(
        double maxTempC,
        double minTempC,
        double vapourKPa,
        double clearSkyRatio
    ) =>
        StefanBoltzmannDaily
        * (Fourth(maxTempC + KelvinOfFao) + Fourth(minTempC + KelvinOfFao))
        / 2
        * NetEmissivity(vapourKPa, clearSkyRatio);

    /// <summary>Net outgoing long-wave radiation of an hour [MJ/m²], eq. 39 with σ for the hour.</summary>
    /// <param name="tempC">Mean temperature of the hour [°C].</param>
    /// <param name="vapourKPa">Actual vapour pressure [kPa].</param>
    /// <param name="clearSkyRatio">R_s/R_so, by night that of two to three hours before sunset; cut to 0.3–1.</param>
    public static double HourlyNetLongwaveMJM2(
        double tempC,
        double vapourKPa,
        double clearSkyRatio
    ) =>
        StefanBoltzmannHourly
        * Fourth(tempC + KelvinOfFao)
        * NetEmissivity(vapourKPa, clearSkyRatio);

    private static double NetEmissivity(double vapourKPa, double clearSkyRatio) =>
        (0.34 - 0.14 * Math.Sqrt(Math.Max(0, vapourKPa)))
        * (1.35 * Math.Clamp(clearSkyRatio, 0.3, 1) - 0.35);

    private static double Fourth(double kelvin) => kelvin * kelvin * (kelvin * kelvin);

    private static double YearAngle(int dayOfYear)
    {
        if (dayOfYear is < 1 or > 366)
        {
            throw new ArgumentOutOfRangeException(
                nameof(dayOfYear),
                dayOfYear,
                $"dayOfYear is {dayOfYear}, outside 1 to 366; 1 January is 1."
            );
        }

        return 2 * Math.PI / 365 * dayOfYear;
    }
}
