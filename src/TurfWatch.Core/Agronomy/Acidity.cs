namespace TurfWatch.Core.Agronomy;

/// <summary>
/// How a nitrogen fertilizer changes the acidity of the soil: the limestone (pure calcium carbonate) that undoes a
/// gram of its nitrogen. Negative: it makes the soil less acid.
/// </summary>
/// <param name="Name">What it is, to follow "it is".</param>
/// <param name="LimePerNitrogenLow">Least [g CaCO3 per g N]: the equivalents that tables print.</param>
/// <param name="LimePerNitrogenHigh">Most: every ammonium made nitrate and none of it taken up.</param>
/// <param name="Source">Who says so.</param>
/// <remarks>
/// Tables: Auburn University ANR-174 and Oregon State Table 26-2 give 110 lb of CaCO3 for 100 lb of ammonium sulfate
/// (21 % N: 5.2 a pound of N), 61-62 for ammonium nitrate, 71-84 for urea, -20 for calcium nitrate. Full oxidation:
/// Hartwell and Damon 1927, 4 lb of CaO a pound of N from ammonium sulfate, 7.1 as CaCO3; half of that for urea and
/// ammonium nitrate, which bring one acid a nitrogen instead of two (stoichiometry).
/// </remarks>
public sealed record AcidEffect(
    string Name,
    double LimePerNitrogenLow,
    double LimePerNitrogenHigh,
    string Source
);

/// <summary>Which single salts a grade gives away, and how acid they are.</summary>
public static class Acidity
{
    private const string Tables =
        "Auburn University ANR-174 and Oregon State Table 26-2; upper end Hartwell & Damon 1927 or stoichiometry";

    /// <summary>
    /// The effect of a grade that only one common salt has: 20.5-21.2-0-0, 45-46-0-0, 33-34.5-0-0, 15-15.5-0-0; null for
    /// all others, since a mixture's grade does not tell what it is made of.
    /// </summary>
    public static AcidEffect? Of(FertilizerGrade grade) =>
        (grade.PhosphatePercent, grade.PotashPercent) != (0, 0)
            ? null
            : grade.NitrogenPercent switch
            {
                >= 20.5 and <= 21.2 => new("ammonium sulfate", 5.2, 7.1, Tables),
                >= 45 and <= 46.7 => new("urea", 1.6, 3.6, Tables),
                >= 33 and <= 34.5 => new("ammonium nitrate", 1.8, 3.6, Tables),
                >= 15 and <= 15.5 => new("calcium nitrate", -1.3, -1.3, Tables),
                _ => null,
            };

    /// <summary>What the soil test makes of it, in one sentence; null when there is nothing to say.</summary>
    /// <param name="grade">The fertilizer.</param>
    /// <param name="nitrogenGM2">Nitrogen of the feeding [g/m²].</param>
    /// <param name="ph">pH of the soil; null when not known.</param>
    public static Phrase? Remark(FertilizerGrade grade, double nitrogenGM2, double? ph)
    {
        if (Of(grade) is not { LimePerNitrogenLow: > 0 } effect || ph is not { } known)
        {
            return null;
        }

        var low = new Quantity(QuantityKind.AreaRate, effect.LimePerNitrogenLow * nitrogenGM2);
        var high = new Quantity(QuantityKind.AreaRate, effect.LimePerNitrogenHigh * nitrogenGM2);
        return known switch
        {
            < SoilTestAdvice.AcidPh => Phrase.Of(
                $"{grade.Text} is {effect.Name}, which makes soil more acid: it takes {low} to {high} of lime to undo one such feeding, and your pH is already {Quantity.Plain(known)}."
            ),
            > SoilTestAdvice.AlkalinePh => Phrase.Of(
                $"{grade.Text} is {effect.Name}, which makes soil more acid (as much as {low} to {high} of lime undo): welcome at your pH of {Quantity.Plain(known)}."
            ),
            _ => null,
        };
    }
}
