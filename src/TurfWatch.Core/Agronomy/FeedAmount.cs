using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>Towards what a feeding leans.</summary>
public enum FeedLean
{
    /// <summary>Nitrogen is what counts.</summary>
    Nitrogen,

    /// <summary>At least as much potash as nitrogen: the last feeding before dormancy.</summary>
    Potash,
}

/// <summary>How much of which fertilizer gives a rate of nitrogen on a lawn, in sentences.</summary>
public static class FeedAmount
{
    /// <summary>Weeks between two feedings when one is too little; common practice, no source.</summary>
    public const int WeeksBetween = 4;

    /// <summary>
    /// Phosphorus by Mehlich-3 below which a lawn may lack it [mg/kg]: Woods et al. 2016, minimum levels for
    /// sustainable nutrition. The laboratory's own reading of its method comes first.
    /// </summary>
    public const double LowPhosphorusMgKg = 21;

    private static readonly FertilizerGrade[] Plain = [new(21, 0, 0), new(46, 0, 0)];
    private static readonly FertilizerGrade Mixed = new(16, 4, 8);
    private static readonly FertilizerGrade MixedWithoutPhosphate = new(24, 0, 11);
    private static readonly FertilizerGrade EvenPotash = new(15, 0, 15);
    private static readonly FertilizerGrade Even = new(10, 10, 10);
    private static readonly FertilizerGrade MostlyPotash = new(8, 0, 24);

    /// <summary>
    /// The nitrogen, then the product for the lawn's area (or, without an area, for its rate) in two passes:
    /// of the fertilizer at hand if it has nitrogen, else of two or three usual grades. Grades with phosphate are
    /// offered only when the lawn's soil test asks for phosphorus.
    /// </summary>
    /// <param name="lawn">The lawn.</param>
    /// <param name="nitrogenGM2">Nitrogen wanted [g/m²], above 0 to 100.</param>
    /// <param name="lean">Towards what the feeding leans; it chooses the usual grades.</param>
    /// <param name="grass">The grass that is fed; null means the base.</param>
    /// <param name="date">The day, for limits that law sets for a part of the year; null when none is meant.</param>
    public static ImmutableArray<Phrase> Phrases(
        Lawn lawn,
        double nitrogenGM2,
        FeedLean lean = FeedLean.Nitrogen,
        GrassKind? grass = null,
        LocalDate? date = null
    )
    {
        var said = ImmutableArray.CreateBuilder<Phrase>();
        var law = FertilizerLaw.For(lawn.Place.State, date);
        var wantedGM2 = nitrogenGM2;
        nitrogenGM2 = Allowed(law, wantedGM2);
        said.Add(Nitrogen(lawn, nitrogenGM2));
        if (nitrogenGM2 < wantedGM2)
        {
            said.Add(
                Phrase.Of(
                    $"{Rate(wantedGM2)} would be usual, but {law.Name} law allows at most {Rate(law.TotalCapGM2)} at once, of it {Rate(law.SolubleCapGM2)} soluble: the rest {WeeksBetween} weeks later."
                )
            );
        }

        if (lawn.Fertilizer is { NitrogenPercent: > 0 } own)
        {
            said.Add(Product(lawn, nitrogenGM2, own, "Your"));
            if (Acidity.Remark(own, nitrogenGM2, lawn.SoilTest?.Ph) is { } remark)
            {
                said.Add(remark);
            }

            if (own.PhosphatePercent > 0 && law.PhosphorusNeedsTest && !SoilWantsPhosphate(lawn))
            {
                said.Add(
                    Phrase.Of(
                        $"It holds phosphate, which {law.Name} law allows on an established lawn only when a soil test asks for it: take one without, such as {MixedWithoutPhosphate.Text}."
                    )
                );
            }

            if (lean == FeedLean.Potash && own.PotashPercent < own.NitrogenPercent)
            {
                said.Add(
                    Phrase.Of(
                        $"It holds less potash than nitrogen; this feeding is better with as much or more, for example {EvenPotash.Text}."
                    )
                );
            }
        }
        else
        {
            if (lawn.Fertilizer is { } without)
            {
                said.Add(
                    Phrase.Of($"Your {without.Text} holds no nitrogen, so it cannot give this.")
                );
            }

            var grades = Usual(lean, SoilWantsPhosphate(lawn), law.SlowSharePercent > 0);
            said.Add(Product(lawn, nitrogenGM2, grades[0], ""));
            said.AddRange(grades.Skip(1).Select(g => Product(lawn, nitrogenGM2, g, "Or instead")));
        }

        if (law.SlowSharePercent > 0)
        {
            said.Add(
                lawn.Fertilizer is { } at && Acidity.Of(at) is { } salt
                    ? Phrase.Of(
                        $"{law.Name} law asks for at least {Quantity.Percent(law.SlowSharePercent)} of the nitrogen in slow-release form; {at.Text} is {salt.Name} and has none."
                    )
                    : Phrase.Of(
                        $"{law.Name} law asks for at least {Quantity.Percent(law.SlowSharePercent)} of the nitrogen in slow-release form: look for it on the label."
                    )
            );
        }

        var ceiling = Need(lawn, grass ?? lawn.Grass).FeedingMaxGM2;
        if (nitrogenGM2 > ceiling * (1 + 1e-9))
        {
            var feedings = (int)Math.Ceiling((nitrogenGM2 / ceiling) - 1e-9);
            said.Add(
                Phrase.Of(
                    $"That is more than the {Rate(ceiling)} of one feeding: give it in {feedings} parts, {WeeksBetween} weeks apart."
                )
            );
        }

        return said.ToImmutable();
    }

    /// <summary>The nitrogen that a grass of a lawn is given: as an overseed less than as a lawn of its own.</summary>
    public static NitrogenNeed Need(Lawn lawn, GrassKind grass)
    {
        var known = Grasses.Of(grass);
        return grass == lawn.Overseed && grass != lawn.Grass
            ? known.WinterOverseedNitrogen ?? known.Nitrogen
            : known.Nitrogen;
    }

    /// <summary>What a law leaves of a feeding [g/m²]: all of it counted as soluble, since we do not know how much is slow.</summary>
    public static double Allowed(FertilizerLaw law, double nitrogenGM2) =>
        Math.Min(nitrogenGM2, Math.Min(law.TotalCapGM2, law.SolubleCapGM2));

    private static bool SoilWantsPhosphate(Lawn lawn) =>
        lawn.SoilTest?.PhosphorusMgKg < LowPhosphorusMgKg;

    // Where law asks for slow-release nitrogen, the salts that have none are left out.
    private static FertilizerGrade[] Usual(FeedLean lean, bool phosphate, bool slow) =>
        (lean, phosphate, slow) switch
        {
            (FeedLean.Potash, true, _) => [EvenPotash, MostlyPotash, Even],
            (FeedLean.Potash, false, _) => [EvenPotash, MostlyPotash],
            (_, true, true) => [MixedWithoutPhosphate, Mixed],
            (_, false, true) => [MixedWithoutPhosphate, EvenPotash],
            (_, true, _) => [.. Plain, Mixed],
            _ => [.. Plain, MixedWithoutPhosphate],
        };

    private static Phrase Nitrogen(Lawn lawn, double nitrogenGM2) =>
        lawn.AreaM2 is { } area
            ? Phrase.Of(
                $"Nitrogen: {Rate(nitrogenGM2)}, {Mass(nitrogenGM2 * area / 1000)} on your {new Quantity(QuantityKind.Area, area)}."
            )
            : Phrase.Of(
                $"Nitrogen: {Rate(nitrogenGM2)}. Tell us the lawn's area and we work out the product for it."
            );

    private static Phrase Product(
        Lawn lawn,
        double nitrogenGM2,
        FertilizerGrade grade,
        string whose
    )
    {
        var amount = ProductAmount.Of(grade, Nutrient.Nitrogen, nitrogenGM2, lawn.AreaM2 ?? 1);
        // One word of the sentence: spaces at the ends of an argument are not kept.
        var product = whose.Length > 0 ? $"{whose} {grade.Text}" : grade.Text;
        return lawn.AreaM2 is null
            ? Phrase.Of(
                $"{product}: {Rate(amount.ProductGM2)} of product; two passes of half that, the second crossways."
            )
            : Phrase.Of(
                $"{product}: {Mass(amount.ProductKg)}; two passes of {Mass(amount.ProductKg / 2)} each ({Rate(amount.ProductGM2 / 2)}), the second crossways."
            );
    }

    private static Quantity Rate(double gM2) => new(QuantityKind.AreaRate, gM2);

    private static Quantity Mass(double kg) => new(QuantityKind.Mass, kg);
}
