namespace TurfWatch.Core.Agronomy;

/// <summary>Crop coefficients of turf: the share of the reference evapotranspiration that a watered lawn uses.</summary>
public static class TurfKc
{
    /// <summary>Kc of brown, resting grass: evaporation from litter and soil alone; judgement, no source.</summary>
    public const double AtRest = 0.35;

    /// <summary>
    /// How far a lawn may use less or more than the table says, as a share: FAO-56 (Table 12) gives 0.90-0.95 and
    /// 0.80-0.85, a fifth above the table's mean, the University of Florida found as much spread (Romero and Dukes 2016).
    /// </summary>
    public const double Doubt = 0.2;

    // January to December.
    private static readonly double[] Cool =
    [
        0.61,
        0.64,
        0.75,
        1.04,
        0.95,
        0.88,
        0.94,
        0.86,
        0.74,
        0.75,
        0.69,
        0.60,
    ];

    private static readonly double[] Warm =
    [
        0.61,
        0.54,
        0.76,
        0.72,
        0.79,
        0.68,
        0.71,
        0.71,
        0.62,
        0.54,
        0.58,
        0.55,
    ];

    /// <summary>Crop coefficient of a month.</summary>
    /// <remarks>
    /// University of California (Meyer et al. 1985), monthly. The page that prints the table gives 0.60 as the warm-season
    /// mean; its months average 0.65. The months are used.
    /// </remarks>
    /// <param name="season">Cool- or warm-season.</param>
    /// <param name="month">Month, 1 to 12.</param>
    public static double Of(GrassSeason season, int month) =>
        month is >= 1 and <= 12
            ? (season == GrassSeason.Warm ? Warm : Cool)[month - 1]
            : throw new ArgumentOutOfRangeException(
                nameof(month),
                month,
                "a month lies between 1 and 12"
            );

    /// <summary>
    /// Factor on a lawn's use for its shade: the microclimate factor of the landscape coefficient method runs from
    /// 0.5 in deep shade to 1 in the open (University of California, Costello et al. 2000; from memory, unverified);
    /// 0.8 and 0.6 within it are judgement.
    /// </summary>
    public static double ShadeFactor(Shade shade) =>
        shade switch
        {
            Shade.Sun => 1,
            Shade.Partial => 0.8,
            _ => 0.6,
        };
}
