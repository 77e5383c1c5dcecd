namespace TurfWatch.Core.Physics;

/// <summary>What a soil texture holds and lets pass. Water contents are volume fractions.</summary>
/// <param name="SandFraction">Sand by mass [0–1]; stands in for quartz.</param>
/// <param name="ClayFraction">Clay by mass [0–1].</param>
/// <param name="WiltingPoint">Water content at 1500 kPa tension.</param>
/// <param name="FieldCapacity">Water content at 33 kPa tension.</param>
/// <param name="Porosity">Water content when saturated.</param>
/// <param name="SaturatedConductivityMmH">Hydraulic conductivity when saturated [mm/h].</param>
/// <param name="BulkDensityKgM3">Dry mass per volume [kg/m³].</param>
public readonly record struct SoilHydraulics(
    double SandFraction,
    double ClayFraction,
    double WiltingPoint,
    double FieldCapacity,
    double Porosity,
    double SaturatedConductivityMmH,
    double BulkDensityKgM3
)
{
    /// <summary>Whether Johansen's conductivity is to use its form for coarse soils.</summary>
    public bool Coarse => SandFraction > 0.5;

    /// <summary>Properties of a texture class.</summary>
    /// <param name="texture">The texture.</param>
    /// <remarks>
    /// Saxton and Rawls (2006), Soil Sci. Soc. Am. J. 70:1569, table 3: class averages at 2.5 % organic matter, no
    /// salinity, gravel or compaction. The printed table was not at hand: the rows were retyped from memory, and the tests
    /// recompute each from the paper's regressions, as several public codes carry them.
    /// </remarks>
    public static SoilHydraulics Of(SoilTexture texture) =>
        texture switch
        {
            SoilTexture.Sand => new(0.88, 0.05, 0.05, 0.10, 0.46, 108.1, 1430),
            SoilTexture.SandyLoam => new(0.65, 0.10, 0.08, 0.18, 0.45, 50.3, 1460),
            SoilTexture.Loam => new(0.40, 0.20, 0.14, 0.28, 0.46, 15.5, 1430),
            SoilTexture.ClayLoam => new(0.30, 0.35, 0.22, 0.36, 0.48, 4.3, 1390),
            SoilTexture.Clay => new(0.25, 0.50, 0.30, 0.42, 0.50, 1.1, 1330),
            _ => throw new ArgumentOutOfRangeException(
                nameof(texture),
                texture,
                $"no soil texture {texture}; use one of {string.Join(", ", Enum.GetNames<SoilTexture>())}."
            ),
        };
}
