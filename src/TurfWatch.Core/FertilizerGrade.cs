using System.Globalization;

namespace TurfWatch.Core;

/// <summary>The nutrients whose percentages make up a grade.</summary>
public enum Nutrient
{
    /// <summary>Nitrogen, N.</summary>
    Nitrogen,

    /// <summary>Available phosphate, told as P2O5.</summary>
    Phosphate,

    /// <summary>Soluble potash, told as K2O.</summary>
    Potash,
}

/// <summary>The three numbers on a fertilizer label, for example 16-4-8: percent by weight of N, P2O5 and K2O.</summary>
public sealed record FertilizerGrade
{
    /// <summary>Phosphorus in phosphate: 2 P / P2O5, from the standard atomic weights (IUPAC 2021).</summary>
    public const double PhosphorusInPhosphate =
        2 * 30.973762 / ((2 * 30.973762) + (5 * OxygenWeight));

    /// <summary>Potassium in potash: 2 K / K2O, from the standard atomic weights (IUPAC 2021).</summary>
    public const double PotassiumInPotash = 2 * 39.0983 / ((2 * 39.0983) + OxygenWeight);

    private const double OxygenWeight = 15.999;

    /// <param name="nitrogenPercent">N [% by weight], 0 to 100.</param>
    /// <param name="phosphatePercent">P2O5 [% by weight], 0 to 100.</param>
    /// <param name="potashPercent">K2O [% by weight], 0 to 100.</param>
    /// <exception cref="ArgumentOutOfRangeException">A percentage is out of range, or the three make up more than the whole product, or nothing of it.</exception>
    public FertilizerGrade(double nitrogenPercent, double phosphatePercent, double potashPercent)
    {
        NitrogenPercent = Checked(nitrogenPercent, nameof(nitrogenPercent));
        PhosphatePercent = Checked(phosphatePercent, nameof(phosphatePercent));
        PotashPercent = Checked(potashPercent, nameof(potashPercent));
        var sum = nitrogenPercent + phosphatePercent + potashPercent;
        if (sum is not (> 0 and <= 100))
        {
            throw new ArgumentOutOfRangeException(
                nameof(nitrogenPercent),
                sum,
                "the three numbers of a grade add up to more than 0 and at most 100; copy them from the label in their order"
            );
        }
    }

    /// <summary>Nitrogen [% by weight].</summary>
    public double NitrogenPercent { get; }

    /// <summary>Phosphate, P2O5 [% by weight].</summary>
    public double PhosphatePercent { get; }

    /// <summary>Potash, K2O [% by weight].</summary>
    public double PotashPercent { get; }

    /// <summary>The grade as a label writes it, for example 16-4-8.</summary>
    public string Text =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{NitrogenPercent:0.##}-{PhosphatePercent:0.##}-{PotashPercent:0.##}"
        );

    /// <summary>Percentage of one nutrient.</summary>
    public double Percent(Nutrient nutrient) =>
        nutrient switch
        {
            Nutrient.Nitrogen => NitrogenPercent,
            Nutrient.Phosphate => PhosphatePercent,
            Nutrient.Potash => PotashPercent,
            _ => throw new ArgumentOutOfRangeException(
                nameof(nutrient),
                nutrient,
                "use a named nutrient"
            ),
        };

    private static double Checked(double percent, string name) =>
        percent is >= 0 and <= 100
            ? percent
            : throw new ArgumentOutOfRangeException(
                name,
                percent,
                "a percentage of a grade lies between 0 and 100"
            );
}
