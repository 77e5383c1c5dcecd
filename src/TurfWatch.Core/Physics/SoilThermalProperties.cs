namespace TurfWatch.Core.Physics;

/// <summary>How soil stores and conducts heat. A NaN argument gives NaN.</summary>
public static class SoilThermalProperties
{
    /// <summary>Heat capacity of soil minerals [J/(m³ K)] (clay minerals; quartz is 2.13·10⁶).</summary>
    public const double MineralJM3K = 2.39e6;

    /// <summary>Heat capacity of organic matter [J/(m³ K)].</summary>
    public const double OrganicJM3K = 2.47e6;

    /// <summary>Heat capacity of water [J/(m³ K)].</summary>
    public const double WaterJM3K = 4.18e6;

    private const double WaterWMK = 0.57;
    private const double QuartzWMK = 7.7;
    private const double SolidKgM3 = 2700;

    /// <summary>Volumetric heat capacity [J/(m³ K)].</summary>
    /// <param name="mineralFraction">Volume of minerals per volume of soil [0–1].</param>
    /// <param name="organicFraction">Volume of organic matter [0–1].</param>
    /// <param name="waterFraction">Volume of liquid water [0–1].</param>
    /// <remarks>
    /// C = Σ x_i C_i, air left out. de Vries (1963), Thermal properties of soils, in van Wijk (ed.), Physics of Plant
    /// Environment; constants as tabulated in Moene and van Dam (2014), Transport in the
    /// Atmosphere–Vegetation–Soil Continuum, table 2.2.
    /// </remarks>
    public static double HeatCapacityJM3K(
        double mineralFraction,
        double organicFraction,
        double waterFraction
    )
    {
        Share(mineralFraction, nameof(mineralFraction));
        Share(organicFraction, nameof(organicFraction));
        Share(waterFraction, nameof(waterFraction));
        Share(
            mineralFraction + organicFraction + waterFraction,
            "mineralFraction + organicFraction + waterFraction"
        );
        return mineralFraction * MineralJM3K
            + organicFraction * OrganicJM3K
            + waterFraction * WaterJM3K;
    }

    /// <summary>Thermal conductivity of unfrozen soil [W/(m K)].</summary>
    /// <param name="porosity">Volume of pores per volume of soil [0.01–0.95].</param>
    /// <param name="quartzFraction">Quartz among the solids [0–1]; the sand fraction stands in for it.</param>
    /// <param name="saturation">Share of the pores that is full of water; cut to 0–1.</param>
    /// <param name="coarse">Coarse soil (sand, sandy loam) rather than fine.</param>
    /// <remarks>
    /// k = k_dry + K_e (k_sat − k_dry), k_sat = k_s^(1−n) 0.57^n, k_s = 7.7^q k_o^(1−q), k_o = 2.0 for q &gt; 0.2 else 3.0,
    /// k_dry = (0.135 ρ_d + 64.7)/(2700 − 0.947 ρ_d), ρ_d = 2700 (1 − n), K_e = log₁₀ S + 1 (fine, S &gt; 0.1) or
    /// 0.7 log₁₀ S + 1 (coarse, S &gt; 0.05). Johansen (1975), as in Farouki (1981) and Peters-Lidard et al. (1998),
    /// J. Atmos. Sci. 55:1209. Below those limits K_e is cut at 0, so that k does not fall under k_dry.
    /// Reading chosen: k_o depends on q alone; some codes use 3.0 only for coarse soils.
    /// </remarks>
    public static double ConductivityJohansenWMK(
        double porosity,
        double quartzFraction,
        double saturation,
        bool coarse
    )
    {
        var (dry, saturated) = JohansenEndsWMK(porosity, quartzFraction);
        return JohansenBetweenWMK(dry, saturated, saturation, coarse);
    }

    /// <summary>Johansen's conductivity of the dry and of the saturated soil, which the texture alone decides [W/(m K)].</summary>
    internal static (double Dry, double Saturated) JohansenEndsWMK(
        double porosity,
        double quartzFraction
    )
    {
        Guard.Range(porosity, 0.01, 0.95, nameof(porosity), "give a volume fraction");
        Share(quartzFraction, nameof(quartzFraction));
        var dryDensity = SolidKgM3 * (1 - porosity);
        var dry = (0.135 * dryDensity + 64.7) / (SolidKgM3 - 0.947 * dryDensity);
        var other = quartzFraction > 0.2 ? 2.0 : 3.0;
        var solids = Math.Pow(QuartzWMK, quartzFraction) * Math.Pow(other, 1 - quartzFraction);
        return (dry, Math.Pow(solids, 1 - porosity) * Math.Pow(WaterWMK, porosity));
    }

    /// <summary>Johansen's conductivity between <see cref="JohansenEndsWMK"/> [W/(m K)].</summary>
    internal static double JohansenBetweenWMK(
        double dry,
        double saturated,
        double saturation,
        bool coarse
    )
    {
        var full = Math.Clamp(saturation, 0, 1);
        var kersten = Math.Max(0, (coarse ? 0.7 : 1) * Math.Log10(Math.Max(full, 1e-6)) + 1);
        return dry + kersten * (saturated - dry);
    }

    /// <summary>Depth at which a periodic temperature wave is damped to 1/e [m].</summary>
    /// <param name="conductivityWMK">Thermal conductivity [W/(m K)].</param>
    /// <param name="heatCapacityJM3K">Volumetric heat capacity [J/(m³ K)].</param>
    /// <param name="periodS">Period [s]: 86400 for a day.</param>
    /// <remarks>D = √(2 α/ω), α = λ/C, ω = 2π/period. Hillel (1982), Introduction to Soil Physics, ch. 9.</remarks>
    public static double DampingDepthM(
        double conductivityWMK,
        double heatCapacityJM3K,
        double periodS
    ) => Math.Sqrt(conductivityWMK / heatCapacityJM3K * periodS / Math.PI);

    private static void Share(double value, string name) =>
        Guard.Range(value, 0, 1, name, "give a volume fraction");
}
