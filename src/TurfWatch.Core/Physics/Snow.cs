namespace TurfWatch.Core.Physics;

/// <summary>
/// One layer of snow over grass and soil: what falls as snow, how it settles, how it insulates, how bright it is.
/// It melts where the energy balance of the ground under the sky asks for more than 0 °C.
/// </summary>
/// <remarks>
/// Melt water runs into the soil at once; nothing freezes again in the pack. The heat of sublimation is taken as that of
/// evaporation. docs/science/snow.md.
/// </remarks>
internal static class Snow
{
    /// <summary>Density of snow that has settled [kg/m³].</summary>
    public const double SettledKgM3 = 300;

    /// <summary>Less than this is gone [mm water].</summary>
    public const double LeastMm = 0.05;

    private const double SettlingPerHour = 0.01;

    // Ground that shines through thin snow (judgement, no source).
    private const double OpaqueM = 0.02;

    private const double ResistanceStep = 0.02;

    /// <summary>Share of precipitation that falls as snow [0–1].</summary>
    /// <param name="airC">Air temperature at 2 m [°C].</param>
    /// <remarks>All at 0 °C and below, none from 2 °C up, linear between (a usual form; limits from memory, unverified).</remarks>
    public static double Share(double airC) => Math.Clamp((2 - airC) / 2, 0, 1);

    /// <summary>Density of falling snow [kg/m³].</summary>
    /// <param name="airC">Air temperature [°C]; cut at 0.</param>
    /// <remarks>67.92 + 51.25 exp(T/2.59). Hedstrom and Pomeroy (1998), Hydrol. Process. 12:1611; from memory, unverified.</remarks>
    public static double NewKgM3(double airC) =>
        67.92 + (51.25 * Math.Exp(Math.Min(0, airC) / 2.59));

    /// <summary>Density an hour later [kg/m³].</summary>
    /// <param name="kgM3">Density [kg/m³].</param>
    /// <remarks>Towards 300 kg/m³ by 0.01 an hour. Verseghy (1991), Int. J. Climatol. 11:111; from memory, unverified.</remarks>
    public static double SettledAfterHourKgM3(double kgM3) =>
        kgM3 + ((Math.Max(kgM3, SettledKgM3) - kgM3) * SettlingPerHour);

    /// <summary>Thermal conductivity [W/(m K)].</summary>
    /// <param name="kgM3">Density [kg/m³], up to 600.</param>
    /// <remarks>
    /// 0.138 − 1.01 ρ + 3.233 ρ² from 0.156 g/cm³ on, 0.023 + 0.234 ρ below. Sturm, Holmgren, König and Morris (1997),
    /// J. Glaciol. 43:26, eq. 4.
    /// </remarks>
    public static double ConductivityWMK(double kgM3)
    {
        var density = kgM3 / 1000;
        return density < 0.156
            ? 0.023 + (0.234 * density)
            : 0.138 - (1.01 * density) + (3.233 * density * density);
    }

    /// <summary>Resistance of the layer to heat [m²K/W], in steps of 0.02 so that the soil's matrix is not made afresh each hour.</summary>
    /// <param name="mm">Water in the snow [mm].</param>
    /// <param name="depthM">Depth [m].</param>
    public static double ResistanceM2KW(double mm, double depthM) =>
        mm <= 0
            ? 0
            : Math.Round(depthM / ConductivityWMK(mm / depthM) / ResistanceStep) * ResistanceStep;

    /// <summary>Albedo of the ground with this snow on it [0–1]: 0.85 fresh, 0.55 settled, with its density between.</summary>
    /// <param name="ground">Albedo of the ground.</param>
    /// <param name="mm">Water in the snow [mm].</param>
    /// <param name="depthM">Depth [m].</param>
    /// <remarks>0.85 and 0.55: usual for fresh and old snow (from memory, unverified); by density: judgement, no source.</remarks>
    public static double Albedo(double ground, double mm, double depthM)
    {
        if (mm <= 0)
        {
            return ground;
        }

        var age = Math.Clamp(((mm / depthM) - 100) / (SettledKgM3 - 100), 0, 1);
        return ground + ((0.85 - (0.3 * age) - ground) * Math.Min(1, depthM / OpaqueM));
    }
}
