namespace TurfWatch.Core.Agronomy;

/// <summary>A number of seeds that is known only between two ends.</summary>
/// <param name="Low">If all were large.</param>
/// <param name="High">If all were small.</param>
public readonly record struct SeedCount(double Low, double High)
{
    /// <summary>Weed seed on a clean tag [% of the weight]; common practice, no source.</summary>
    public const double CleanWeedPercent = 0.03;

    /// <summary>Seeds in a kilogram of a large weed seed: cheatgrass, 200,000 a pound (a seed trade's list).</summary>
    public const double LargePerKg = 200_000 / Customary.PoundKg;

    /// <summary>Seeds in a kilogram of a small one: annual bluegrass, 1.2 million a pound (the same list: 1.1-1.2 million).</summary>
    public const double SmallPerKg = 1_200_000 / Customary.PoundKg;

    /// <summary>Seeds of unknown kind in a weight of seed: weight · percent · seeds a kilogram.</summary>
    /// <remarks>The tag gives their weight, not their kind: the count can be wrong by the factor of six between the two ends.</remarks>
    /// <param name="bulkKg">Seed from the bag [kg], 0 or more.</param>
    /// <param name="percent">Weed or other crop seed on the tag [% of the weight], 0 to 100.</param>
    public static SeedCount Of(double bulkKg, double percent)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(bulkKg);
        if (percent is not (>= 0 and <= 100))
        {
            throw new ArgumentOutOfRangeException(
                nameof(percent),
                percent,
                "a part of the weight lies between 0 and 100 percent"
            );
        }

        var kg = bulkKg * percent / 100;
        return new(kg * LargePerKg, kg * SmallPerKg);
    }

    /// <summary>Live seeds of the wanted kind on a square metre; null for a grass that is not sown.</summary>
    /// <param name="grass">The kind.</param>
    /// <param name="pureLiveGM2">Pure live seed [g/m²].</param>
    public static double? LivePerM2(Grass grass, double pureLiveGM2) =>
        pureLiveGM2 / 1000 * grass.SeedsPerKg?.Value;
}
