namespace TurfWatch.Core.Physics;

/// <summary>What one step did to the root zone.</summary>
/// <param name="DepletionMm">Water missing from field capacity at the end [mm].</param>
/// <param name="EvapotranspirationMm">Water that the grass really used [mm].</param>
/// <param name="PercolationMm">Water that drained below the roots [mm].</param>
public readonly record struct SoilWaterStep(
    double DepletionMm,
    double EvapotranspirationMm,
    double PercolationMm
);

/// <summary>
/// The root zone as one bucket between field capacity (depletion 0) and wilting point (depletion TAW). FAO-56 chapter 8.
/// A NaN argument gives NaN.
/// </summary>
public static class SoilWaterBucket
{
    /// <summary>Total available water [mm]. TAW = 1000 (θ_FC − θ_WP) Z_r, FAO-56 eq. 82.</summary>
    /// <param name="fieldCapacity">Water content at field capacity [volume fraction].</param>
    /// <param name="wiltingPoint">Water content at wilting point [volume fraction], less than field capacity.</param>
    /// <param name="rootDepthM">Depth of the roots [m], 0.01 to 3.</param>
    public static double TotalAvailableMm(
        double fieldCapacity,
        double wiltingPoint,
        double rootDepthM
    )
    {
        Guard.Range(fieldCapacity, 0, 1, nameof(fieldCapacity), "give a volume fraction");
        Guard.Range(
            wiltingPoint,
            0,
            fieldCapacity,
            nameof(wiltingPoint),
            "it must not exceed field capacity"
        );
        Guard.Range(rootDepthM, 0.01, 3, nameof(rootDepthM), "give metres");
        return 1000 * (fieldCapacity - wiltingPoint) * rootDepthM;
    }

    /// <summary>Readily available water [mm]. RAW = p TAW, FAO-56 eq. 83.</summary>
    /// <param name="totalAvailableMm">TAW [mm].</param>
    /// <param name="depletionShare">p [0–1].</param>
    public static double ReadilyAvailableMm(double totalAvailableMm, double depletionShare)
    {
        Guard.Range(depletionShare, 0, 1, nameof(depletionShare), "give a share of TAW");
        return depletionShare * totalAvailableMm;
    }

    /// <summary>Share of TAW that may be used without stress, for the day's demand. p + 0.04 (5 − ET_c), kept in 0.1–0.8; FAO-56 table 22 footnote.</summary>
    /// <param name="tabledShare">p from the table, for 5 mm a day: 0.40 cool-season turf, 0.50 warm-season turf.</param>
    /// <param name="cropEtMmPerDay">ET_c [mm per day].</param>
    public static double AdjustedDepletionShare(double tabledShare, double cropEtMmPerDay) =>
        Math.Clamp(tabledShare + 0.04 * (5 - cropEtMmPerDay), 0.1, 0.8);

    /// <summary>Water stress coefficient [0–1]. K_s = (TAW − D_r)/((1 − p) TAW), 1 while D_r ≤ RAW; FAO-56 eq. 84.</summary>
    /// <param name="depletionMm">D_r [mm].</param>
    /// <param name="totalAvailableMm">TAW [mm], more than 0.</param>
    /// <param name="depletionShare">p [0–1].</param>
    public static double StressCoefficient(
        double depletionMm,
        double totalAvailableMm,
        double depletionShare
    )
    {
        var readily = ReadilyAvailableMm(totalAvailableMm, depletionShare);
        if (depletionMm <= readily)
        {
            return 1;
        }

        return Math.Clamp((totalAvailableMm - depletionMm) / (totalAvailableMm - readily), 0, 1);
    }

    /// <summary>Water balance of the root zone over a step of any length.</summary>
    /// <param name="depletionMm">D_r at the start [mm]; cut to 0–TAW.</param>
    /// <param name="totalAvailableMm">TAW [mm], more than 0.</param>
    /// <param name="depletionShare">p [0–1].</param>
    /// <param name="waterInMm">Rain less run-off, and irrigation [mm], not negative.</param>
    /// <param name="cropEtMm">ET_c = K_c ET₀ of the step, without stress [mm]; negative (dew) counts as 0.</param>
    /// <remarks>
    /// D_r,i = D_r,i−1 − (P − RO) − I + K_s ET_c + DP, 0 ≤ D_r ≤ TAW, FAO-56 eqs. 85–88. What exceeds field capacity
    /// percolates within the step. K_s is taken at the start of the step, after its water has come in; with hourly
    /// steps that is close to the integral, with daily steps it is FAO's own reading (water early in the day).
    /// </remarks>
    public static SoilWaterStep Step(
        double depletionMm,
        double totalAvailableMm,
        double depletionShare,
        double waterInMm,
        double cropEtMm
    )
    {
        Guard.Range(
            totalAvailableMm,
            double.Epsilon,
            1000,
            nameof(totalAvailableMm),
            "the roots need some soil"
        );
        Guard.Range(waterInMm, 0, 2000, nameof(waterInMm), "water in cannot be negative");
        var start = Math.Clamp(depletionMm, 0, totalAvailableMm);
        var wetted = start - waterInMm;
        var percolation = Math.Max(0, -wetted);
        var filled = Math.Max(0, wetted);
        var stress = StressCoefficient(filled, totalAvailableMm, depletionShare);
        var used = Math.Min(stress * Math.Max(0, cropEtMm), totalAvailableMm - filled);
        return new(filled + used, used, percolation);
    }
}
