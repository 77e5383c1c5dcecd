namespace TurfWatch.Core.Agronomy;

/// <summary>How much of a fertilizer an area takes, and what is in it.</summary>
/// <param name="ProductGM2">Product [g/m²].</param>
/// <param name="ProductKg">Product for the area [kg].</param>
/// <param name="NitrogenGM2">Nitrogen [g/m²].</param>
/// <param name="SolubleNitrogenGM2">Of that, what is not slow-release [g/m²].</param>
/// <param name="PhosphateGM2">Phosphate, P2O5 [g/m²].</param>
/// <param name="PotashGM2">Potash, K2O [g/m²].</param>
public sealed record ProductAmount(
    double ProductGM2,
    double ProductKg,
    double NitrogenGM2,
    double SolubleNitrogenGM2,
    double PhosphateGM2,
    double PotashGM2
)
{
    /// <summary>Soluble nitrogen in one feeding above which leaves may burn and much is lost [g/m²]: 1 lb per 1,000 sq ft; common practice, no source.</summary>
    public const double SolubleCeilingGM2 = Customary.PoundPerThousandSquareFeet;

    /// <summary>
    /// The stricter figure where less than 30 % of the nitrogen is slow-release [g/m²]: 0.5 lb per
    /// 1,000 sq ft (University of Florida, Florida Yards program).
    /// </summary>
    public const double MostlySolubleCeilingGM2 = 0.5 * Customary.PoundPerThousandSquareFeet;

    /// <summary>Phosphorus, the element [g/m²].</summary>
    public double PhosphorusGM2 => PhosphateGM2 * FertilizerGrade.PhosphorusInPhosphate;

    /// <summary>Potassium, the element [g/m²].</summary>
    public double PotassiumGM2 => PotashGM2 * FertilizerGrade.PotassiumInPotash;

    /// <summary>Whether the soluble nitrogen is above <see cref="SolubleCeilingGM2"/>.</summary>
    public bool TooMuchSoluble => SolubleNitrogenGM2 > SolubleCeilingGM2 * (1 + 1e-9);

    /// <summary>Whether it is above the stricter figure for mostly soluble products.</summary>
    public bool AboveMostlySoluble =>
        SolubleNitrogenGM2 > 0.7 * NitrogenGM2
        && NitrogenGM2 > MostlySolubleCeilingGM2 * (1 + 1e-9);

    /// <summary>Whether a law's limits on one feeding would forbid it.</summary>
    public bool Above(FertilizerLaw law) =>
        NitrogenGM2 > law.TotalCapGM2 * (1 + 1e-9)
        || SolubleNitrogenGM2 > law.SolubleCapGM2 * (1 + 1e-9);

    /// <summary>
    /// Product for a wanted rate of one nutrient: product = rate / (percent / 100), times the area.
    /// </summary>
    /// <remarks>Plain arithmetic, as extension services teach it, for example University of Nebraska and University of Georgia.</remarks>
    /// <param name="grade">The grade on the label.</param>
    /// <param name="nutrient">The nutrient that the rate speaks of.</param>
    /// <param name="rateGM2">Wanted rate of it [g/m²], above 0 to 100.</param>
    /// <param name="areaM2">Area [m²], above 0.</param>
    /// <param name="slowNitrogenPercent">Slow-release nitrogen as the label tells it [% of the product], 0 to the grade's N.</param>
    public static ProductAmount Of(
        FertilizerGrade grade,
        Nutrient nutrient,
        double rateGM2,
        double areaM2,
        double slowNitrogenPercent = 0
    )
    {
        if (rateGM2 is not (> 0 and <= 100))
        {
            throw new ArgumentOutOfRangeException(
                nameof(rateGM2),
                rateGM2,
                "a rate of a nutrient lies above 0 and at most at 100 g/m² (20 lb per 1,000 sq ft)"
            );
        }

        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(areaM2);
        if (!(grade.Percent(nutrient) > 0))
        {
            throw new ArgumentOutOfRangeException(
                nameof(nutrient),
                nutrient,
                "the grade holds none of it, so no amount of product gives that rate; name a nutrient that the label shows"
            );
        }

        if (!(slowNitrogenPercent >= 0 && slowNitrogenPercent <= grade.NitrogenPercent))
        {
            throw new ArgumentOutOfRangeException(
                nameof(slowNitrogenPercent),
                slowNitrogenPercent,
                "slow-release nitrogen is a part of the nitrogen: between 0 and the first number of the grade"
            );
        }

        var product = rateGM2 / (grade.Percent(nutrient) / 100);
        return new(
            product,
            product * areaM2 / 1000,
            product * grade.NitrogenPercent / 100,
            product * (grade.NitrogenPercent - slowNitrogenPercent) / 100,
            product * grade.PhosphatePercent / 100,
            product * grade.PotashPercent / 100
        );
    }
}
