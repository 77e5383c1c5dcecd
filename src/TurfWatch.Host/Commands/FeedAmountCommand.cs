using System.CommandLine;
using System.Globalization;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch amount feed</c>: fertilizer by its grade.</summary>
internal static class FeedAmountCommand
{
    public static Command Create(Terminal terminal) =>
        AmountCommand.Verb(
            terminal,
            "feed",
            """
            How much of a fertilizer gives a wanted rate of a nutrient, and what else is in it.

            Example: turfwatch amount feed --area 5000sqft --grade 24-0-11 --slow 12% --rate 0.75lb/1000sqft --bag 50lb
            Example: turfwatch amount feed --area 450m2 --grade 0-0-60 --of potash --rate 5g/m2
            """,
            [
                ("area", "AREA", "Area, for example 5000sqft, 450m2 or 0.2acre.", true),
                ("grade", "N-P-K", "The three numbers on the label, for example 16-4-8.", true),
                ("rate", "RATE", "Wanted rate, for example 0.5lb/1000sqft or 2.5g/m2.", true),
                (
                    "of",
                    "NUTRIENT",
                    "What the rate speaks of: nitrogen, phosphate, potash. Left out: nitrogen.",
                    false
                ),
                (
                    "slow",
                    "PERCENT",
                    "Slow-release nitrogen as the label tells it, a percentage of the product, for example 12%. Left out: none.",
                    false
                ),
                ("bag", "MASS", "Size of a bag, for example 50lb or 20kg.", false),
                ("units", "us|metric", "Units of the answer. Left out: those of the area.", false),
            ],
            Answer
        );

    private static IEnumerable<string> Answer(
        IReadOnlyDictionary<string, string> typed,
        List<string> faults
    )
    {
        var say = new AmountText(typed.Units(faults));
        var area = typed.Read<double>("area", Measures.AreaM2, faults);
        var rate = typed.Read<double>("rate", Measures.RateGM2, faults);
        var slow = typed.Read<double>("slow", Measures.Percent, faults) ?? 0;
        var bag = typed.Read<double>("bag", Measures.BagKg, faults);
        var of = typed.Read<Nutrient>("of", Words.OneOf<Nutrient>, faults) ?? Nutrient.Nitrogen;
        var grade = typed.TryGetValue("grade", out var text)
            ? GradeWords.Read("--grade", text, faults)
            : null;
        if (grade is not null)
        {
            Judge(grade, of, slow, faults);
        }

        if (rate > 100)
        {
            faults.Add(
                $"--rate is '{typed["rate"]}', far more than any lawn takes at once; check number and unit."
            );
        }

        return faults.Count > 0
            ? []
            : Lines(
                say,
                grade!,
                text!,
                ProductAmount.Of(grade!, of, rate!.Value, area!.Value, slow),
                area.Value,
                bag
            );
    }

    private static void Judge(FertilizerGrade grade, Nutrient of, double slow, List<string> faults)
    {
        var name = of.ToString().ToLowerInvariant();
        if (!(grade.Percent(of) > 0))
        {
            faults.Add(
                $"The grade holds no {name}, so no amount of it gives that rate; name another nutrient with --of, or another product."
            );
        }

        if (slow > grade.NitrogenPercent)
        {
            faults.Add(
                $"--slow is {AmountText.Number(slow)}%, more than the {AmountText.Number(grade.NitrogenPercent)}% nitrogen of the grade; copy the percentage of slow-release nitrogen in the product from the label."
            );
        }
    }

    private static List<string> Lines(
        AmountText say,
        FertilizerGrade grade,
        string label,
        ProductAmount amount,
        double areaM2,
        double? bagKg
    )
    {
        string Whole(double gM2) => say.Mass(gM2 * areaM2 / 1000);
        List<string> lines =
        [
            $"{label.Trim()} on {say.Area(areaM2)}",
            "",
            AmountText.Line(
                "Product",
                $"{say.Mass(amount.ProductKg)} ({say.Rate(amount.ProductGM2)})"
            ),
            AmountText.Line(
                "Two passes",
                $"{say.Mass(amount.ProductKg / 2)} each, the second crossways to the first"
            ),
        ];
        if (bagKg is { } bag)
        {
            lines.Add(AmountText.Line("Bags", say.Bags(amount.ProductKg, bag)));
        }

        lines.Add(
            AmountText.Line(
                "Nitrogen",
                $"{Whole(amount.NitrogenGM2)} ({say.Rate(amount.NitrogenGM2)}), of it soluble {Whole(amount.SolubleNitrogenGM2)} ({say.Rate(amount.SolubleNitrogenGM2)})"
            )
        );
        lines.Add(
            AmountText.Line(
                "Phosphate",
                $"{Whole(amount.PhosphateGM2)} P2O5, that is {Whole(amount.PhosphorusGM2)} phosphorus"
            )
        );
        lines.Add(
            AmountText.Line(
                "Potash",
                $"{Whole(amount.PotashGM2)} K2O, that is {Whole(amount.PotassiumGM2)} potassium"
            )
        );
        lines.Add("");
        lines.AddRange(Cautions(say, grade, amount).Select(c => "- " + c));
        return lines;
    }

    private static IEnumerable<string> Cautions(
        AmountText say,
        FertilizerGrade grade,
        ProductAmount amount
    )
    {
        if (amount.TooMuchSoluble)
        {
            yield return $"TOO MUCH AT ONCE: more than {say.Rate(ProductAmount.SolubleCeilingGM2)} of soluble nitrogen can burn the grass and washes out (common practice, no source). Split it over several weeks, or take a slow-release product.";
        }
        else if (amount.AboveMostlySoluble)
        {
            yield return $"Mostly soluble: the University of Florida advises no more than {say.Rate(ProductAmount.MostlySolubleCeilingGM2)} of nitrogen at once where less than 30% of it is slow-release.";
        }

        if (amount.AboveStrictLaw)
        {
            yield return $"Local law may be lower: Maryland, for one, allows {say.Rate(ProductAmount.StrictLawTotalGM2)} of nitrogen at once, of it {say.Rate(ProductAmount.StrictLawSolubleGM2)} soluble (Agriculture Code 6-224).";
        }

        if (grade.PhosphatePercent > 0)
        {
            yield return "Phosphate: many states and towns forbid it on lawns without a soil test that asks for it.";
        }

        yield return "The product's label has the last word, on the rate too; local codes may set rates, seasons and distances from water.";
        yield return "Spread on dry leaves, not in heat or drought, not on frozen ground or before heavy rain; water it in unless the label says otherwise; sweep what fell on paving back onto the grass.";
        yield return "Gloves and closed shoes; keep children and pets off until it is watered in and dry.";
    }
}
