namespace TurfWatch.Core.Agronomy;

/// <summary>What a seed tag says of its weight. The parts that are not told are null.</summary>
/// <param name="PurityPercent">Pure seed of the kind that is wanted [% of the weight], above 0 to 100.</param>
/// <param name="GerminationPercent">Germination [% of the pure seed], above 0 to 100.</param>
/// <param name="OtherCropPercent">Other crop seed [% of the weight].</param>
/// <param name="WeedPercent">Weed seed [% of the weight].</param>
/// <param name="InertPercent">Inert matter, coating included [% of the weight].</param>
public sealed record SeedTag(
    double PurityPercent,
    double GerminationPercent,
    double? OtherCropPercent = null,
    double? WeedPercent = null,
    double? InertPercent = null
)
{
    /// <summary>How far the parts of the weight may be from 100 % by rounding [%]; judgement.</summary>
    public const double RoundingPercent = 0.5;

    /// <summary>Sum of the parts that are told [%].</summary>
    public double SumPercent =>
        PurityPercent + (OtherCropPercent ?? 0) + (WeedPercent ?? 0) + (InertPercent ?? 0);

    /// <summary>
    /// Whether the parts can be those of one bag: each between 0 and 100, together not above 100, and 100
    /// when all four are told (the four parts that the Federal Seed Act has on every label).
    /// </summary>
    public bool AddsUp =>
        PurityPercent is > 0 and <= 100
        && GerminationPercent is > 0 and <= 100
        && Part(OtherCropPercent)
        && Part(WeedPercent)
        && Part(InertPercent)
        && SumPercent <= 100 + RoundingPercent
        && (
            OtherCropPercent is null
            || WeedPercent is null
            || InertPercent is null
            || SumPercent >= 100 - RoundingPercent
        );

    private static bool Part(double? percent) => percent is null or (>= 0 and <= 100);
}

/// <summary>How much seed from the bag an area takes.</summary>
/// <param name="PureLiveShare">Share of the bag that is pure and will germinate [0–1].</param>
/// <param name="BulkGM2">Seed from the bag [g/m²].</param>
/// <param name="BulkKg">Seed from the bag for the area [kg].</param>
public sealed record SeedAmount(double PureLiveShare, double BulkGM2, double BulkKg)
{
    /// <summary>Germination below which a lot is weak [%] (Louisiana State University AgCenter: about 85).</summary>
    public const double GoodGerminationPercent = 85;

    /// <summary>Other crop seed above which a lot is poor [%] (LSU AgCenter).</summary>
    public const double GoodOtherCropPercent = 0.5;

    /// <summary>Weed seed above which a lot is poor [%] (LSU AgCenter).</summary>
    public const double GoodWeedPercent = 0.3;

    /// <summary>Inert matter above which a lot is coated or poor [%] (LSU AgCenter).</summary>
    public const double GoodInertPercent = 4;

    /// <summary>
    /// Seed for a wanted rate of pure live seed: bulk = rate / (purity · germination).
    /// </summary>
    /// <remarks>LSU AgCenter, "Pure live seed calculation"; the same in Penn State's and the Texas DOT's guides.</remarks>
    /// <param name="tag">The tag; it must add up.</param>
    /// <param name="pureLiveGM2">Wanted rate of pure live seed [g/m²], above 0 to 200.</param>
    /// <param name="areaM2">Area [m²], above 0.</param>
    public static SeedAmount Of(SeedTag tag, double pureLiveGM2, double areaM2)
    {
        if (!tag.AddsUp)
        {
            throw new ArgumentOutOfRangeException(
                nameof(tag),
                tag.SumPercent,
                "pure seed, other crop, weed and inert add up to 100 on a tag; copy them from it"
            );
        }

        if (pureLiveGM2 is not (> 0 and <= 200))
        {
            throw new ArgumentOutOfRangeException(
                nameof(pureLiveGM2),
                pureLiveGM2,
                "a seeding rate lies above 0 and at most at 200 g/m² (41 lb per 1,000 sq ft)"
            );
        }

        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(areaM2);
        var share = tag.PurityPercent / 100 * tag.GerminationPercent / 100;
        var bulk = pureLiveGM2 / share;
        return new(share, bulk, bulk * areaM2 / 1000);
    }
}
