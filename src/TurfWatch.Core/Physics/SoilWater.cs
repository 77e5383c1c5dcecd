namespace TurfWatch.Core.Physics;

/// <summary>
/// Water in three zones of soil (0-5, 5-30, 30-100 cm): infiltration from above, drainage above field
/// capacity, a slow rise of water into a drier zone above, uptake by roots and evaporation from the top.
/// </summary>
/// <remarks>
/// Each zone above field capacity loses the excess with the texture's time constant to the one below, the last
/// to the subsoil; a drier top draws water up with a time constant of 4 days (judgement, no source). Water
/// that finds every zone full runs off. What comes in equals what goes out plus what stays, to rounding.
/// </remarks>
internal static class SoilWater
{
    public const int Zones = 3;

    public static readonly double[] DepthMm = [50, 250, 700];

    private const double RiseDays = 4;

    /// <summary>Time in which the excess over field capacity leaves a metre of soil [days]; a day for loam, scaled by its conductivity (judgement, no source).</summary>
    public static double DrainDays(in SoilHydraulics soil) =>
        Math.Pow(15.5 / soil.SaturatedConductivityMmH, 0.35);

    /// <summary>Which zone a layer of <see cref="SoilGrid"/> belongs to; <see cref="Zones"/> means below the last.</summary>
    public static int ZoneAt(double depthM) =>
        depthM < 0.05 ? 0
        : depthM < 0.30 ? 1
        : depthM < 1.00 ? 2
        : Zones;

    /// <summary>Moves water for one step.</summary>
    /// <param name="water">Water of each zone [mm].</param>
    /// <param name="soil">The texture.</param>
    /// <param name="inflowMm">Water reaching the soil [mm].</param>
    /// <param name="drainDays">See <see cref="DrainDays"/>.</param>
    /// <param name="days">Length of the step [days].</param>
    /// <returns>Water that left the three zones by drainage and run-off [mm].</returns>
    public static double Move(
        Span<double> water,
        in SoilHydraulics soil,
        double inflowMm,
        double drainDays,
        double days
    )
    {
        var rest = inflowMm;
        for (var z = 0; z < Zones && rest > 0; z++)
        {
            var taken = Math.Min(rest, Math.Max(0, (soil.Porosity * DepthMm[z]) - water[z]));
            water[z] += taken;
            rest -= taken;
        }

        for (var z = 0; z < Zones; z++)
        {
            var excess = water[z] - (soil.FieldCapacity * DepthMm[z]);
            if (excess <= 0)
            {
                continue;
            }

            // The upper zones are thin and pass their excess on faster.
            var drained = excess * Math.Min(1, days / (drainDays * (z + 1) / Zones));
            if (z == Zones - 1)
            {
                rest += drained;
            }
            else
            {
                drained = Math.Min(
                    drained,
                    Math.Max(0, (soil.Porosity * DepthMm[z + 1]) - water[z + 1])
                );
                water[z + 1] += drained;
            }

            water[z] -= drained;
        }

        for (var z = 0; z < Zones - 1; z++)
        {
            var drier = (water[z + 1] / DepthMm[z + 1]) - (water[z] / DepthMm[z]);
            if (drier > 0)
            {
                var risen = drier * DepthMm[z] * days / RiseDays;
                water[z] += risen;
                water[z + 1] -= risen;
            }
        }

        return rest;
    }

    /// <summary>Available water in the root zone as a share of what it can hold [0-1].</summary>
    public static double AvailableShare(
        ReadOnlySpan<double> water,
        in SoilHydraulics soil,
        double rootDepthM
    )
    {
        double available = 0,
            total = 0,
            top = 0;
        for (var z = 0; z < Zones && top < (rootDepthM * 1000) - 1; z++)
        {
            var share = Math.Min(1, ((rootDepthM * 1000) - top) / DepthMm[z]);
            available += share * Math.Max(0, water[z] - (soil.WiltingPoint * DepthMm[z]));
            total += share * (soil.FieldCapacity - soil.WiltingPoint) * DepthMm[z];
            top += DepthMm[z];
        }

        return Math.Min(1, available / total);
    }

    /// <summary>Water stress coefficient [0-1]: 1 while what is easily had lasts, 0 at the wilting point.</summary>
    /// <param name="availableShare">See <see cref="AvailableShare"/>: 1 - D_r/TAW [0-1].</param>
    /// <param name="easyShare">Share of the available water that can be used without stress, p [0-1, less than 1].</param>
    /// <remarks>K_s = (TAW - D_r)/((1 - p) TAW). Allen et al. (1998), FAO-56 eq. 84.</remarks>
    public static double StressCoefficient(double availableShare, double easyShare) =>
        Math.Clamp(availableShare / (1 - easyShare), 0, 1);

    /// <summary>Takes transpired water from the zones, from where there is most to be had for the roots there.</summary>
    /// <param name="water">Water of each zone [mm].</param>
    /// <param name="soil">The texture.</param>
    /// <param name="roots">See <see cref="Roots"/>.</param>
    /// <param name="mm">Water to take [mm].</param>
    public static void Uptake(
        Span<double> water,
        in SoilHydraulics soil,
        ReadOnlySpan<double> roots,
        double mm
    )
    {
        Span<double> weight = stackalloc double[Zones];
        double sum = 0;
        for (var z = 0; z < Zones; z++)
        {
            weight[z] = roots[z] * Math.Max(1e-9, water[z] - (soil.WiltingPoint * DepthMm[z]));
            sum += weight[z];
        }

        for (var z = 0; z < Zones; z++)
        {
            water[z] -= mm * weight[z] / sum;
        }
    }

    /// <summary>How many roots are in each zone, one against another.</summary>
    /// <param name="rootDepthM">Depth to which roots reach [m], above 0.</param>
    public static double[] Roots(double rootDepthM)
    {
        var roots = new double[Zones];
        double top = 0;
        for (var z = 0; z < Zones; z++)
        {
            var rooted = Math.Clamp(((rootDepthM * 1000) - top) / DepthMm[z], 0, 1);
            var middle = (top + (DepthMm[z] / 2)) / (rootDepthM * 1000);
            roots[z] = rooted * Math.Exp(-2 * middle);
            top += DepthMm[z];
        }

        return roots;
    }
}
