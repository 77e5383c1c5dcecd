using System.CommandLine;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
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
            Example: turfwatch amount feed --area 5000sqft --grade 21-0-0 --rate 0.5lb/1000sqft --grass bermuda --given 1lb/1000sqft --state MD --ph 7.8
            """,
            [
                AmountWords.Area,
                new("grade", "N-P-K", "The three numbers on the label, for example 16-4-8.", true),
                new("rate", "RATE", "Wanted rate, for example 0.5lb/1000sqft or 2.5g/m2.", true),
                new(
                    "of",
                    "NUTRIENT",
                    "What the rate speaks of: nitrogen, phosphate, potash. Left out: nitrogen."
                ),
                new(
                    "slow",
                    "PERCENT",
                    "Slow-release nitrogen as the label tells it, a percentage of the product, for example 12%. Left out: none."
                ),
                AmountWords.Bag,
                AmountWords.Grass,
                new(
                    "given",
                    "RATE",
                    "Nitrogen given this season already, with --grass, for example 1lb/1000sqft."
                ),
                new("ph", "PH", "pH of the soil, from 3 to 10."),
                AmountWords.State,
                AmountWords.On,
            ],
            Answer
        );

    private static IEnumerable<string> Answer(AmountWords typed)
    {
        var say = typed.Say;
        var area = typed.Read<double>("area", Measures.AreaM2);
        var rate = typed.Read<double>("rate", Measures.RateGM2);
        var slow = typed.Read<double>("slow", Measures.Percent) ?? 0;
        var bag = typed.Read<double>("bag", Measures.BagKg);
        var of = typed.Read<Nutrient>("of", Words.OneOf<Nutrient>) ?? Nutrient.Nitrogen;
        var grass = typed.Read<GrassKind>("grass", Words.OneOf<GrassKind>);
        var given = typed.Read<double>("given", Measures.RateGM2);
        var ph = typed.Read<double>("ph", Measures.Ph);
        var state = typed.StateCode();
        var day = typed.Day();
        var grade = typed.Text("grade") is { } text
            ? GradeWords.Read("--grade", text, typed.Faults)
            : null;
        if (grade is not null)
        {
            Judge(grade, of, slow, typed.Faults);
        }

        if (rate > 100)
        {
            typed.Faults.Add(
                $"--rate is '{typed.Text("rate")}', far more than any lawn takes at once; check number and unit."
            );
        }

        if (given is not null && grass is null)
        {
            typed.Faults.Add(
                "--given is of use only with --grass, whose season it counts towards; add the grass."
            );
        }

        if (typed.Faults.Count > 0)
        {
            return [];
        }

        var amount = ProductAmount.Of(grade!, of, rate!.Value, area!.Value, slow);
        return
        [
            .. Lines(say, typed.Text("grade")!, amount, area.Value, bag),
            .. grass is { } kind ? Season(say, Grasses.Of(kind), amount, given ?? 0) : [],
            .. AmountText.Minding(
                Cautions(say, grade!, amount)
                    .Concat(Law(say, grade!, amount, state, day))
                    .Concat(
                        Acidity.Remark(grade!, amount.NitrogenGM2, ph) is { } remark
                            ? [say.Told(remark, day)]
                            : []
                    )
                    .Concat(Always(say))
            ),
        ];
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
            say.TwoPasses(amount.ProductKg),
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
        return lines;
    }

    private static IEnumerable<string> Season(
        AmountText say,
        Grass grass,
        ProductAmount amount,
        double givenGM2
    )
    {
        var need = grass.Nitrogen;
        var after = givenGM2 + amount.NitrogenGM2;
        yield return AmountText.Line(
            "At once",
            $"usual for {grass.Name}: {say.Rate(need.FeedingMinGM2)} to {say.Rate(need.FeedingMaxGM2)} of nitrogen{(amount.NitrogenGM2 > need.FeedingMaxGM2 * (1 + 1e-9) ? "; this is MORE: split it" : "")}"
        );
        yield return AmountText.Line(
            "This season",
            $"{say.Rate(after)} of nitrogen with this feeding; usual {say.Rate(need.SeasonMinGM2)} to {say.Rate(need.SeasonMaxGM2)}{(after > need.SeasonMaxGM2 * (1 + 1e-9) ? ": this is MORE than the season's most" : "")}"
        );
        yield return AmountText.Line("Rests on", need.Source);
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

        if (grade.PhosphatePercent > 0)
        {
            yield return "Phosphate: many states and towns forbid it on lawns without a soil test that asks for it.";
        }
    }

    private static IEnumerable<string> Law(
        AmountText say,
        FertilizerGrade grade,
        ProductAmount amount,
        string? state,
        LocalDate day
    )
    {
        if (state is null)
        {
            var strict = FertilizerLaw.For("MD");
            if (amount.Above(strict))
            {
                yield return $"Local law may be lower: {strict.Name}, for one, allows {say.Rate(strict.TotalCapGM2)} of nitrogen at once, of it {say.Rate(strict.SolubleCapGM2)} soluble ({strict.Rule(LawKind.Cap)!.Source}).";
            }

            yield break;
        }

        var law = FertilizerLaw.For(state, day);
        if (amount.NitrogenGM2 > 0 && law is { BlackOut: { } rule, FreeFrom: { } free })
        {
            yield return $"FORBIDDEN NOW by {law.Name} law: {rule.Text}; not before {free:uuuu-MM-dd} ({rule.Source}).";
        }

        if (amount.Above(law))
        {
            yield return $"ABOVE THE LIMIT of {law.Name} law: at most {say.Rate(law.TotalCapGM2)} of nitrogen at once, of it {say.Rate(law.SolubleCapGM2)} soluble.";
        }

        foreach (
            var known in law.Rules.Where(r =>
                r.Kind is not LawKind.BlackOut
                && (r.Kind is not LawKind.PhosphorusTest || grade.PhosphatePercent > 0)
            )
        )
        {
            yield return $"{law.Name}: {known.Text} ({known.Source}).";
        }

        yield return say.Told(law.LookUp, day);
    }

    private static IEnumerable<string> Always(AmountText say)
    {
        yield return "The product's label has the last word, on the rate too; local codes may set rates, seasons and distances from water.";
        yield return $"Spread on dry leaves, not in heat or drought, not on frozen ground or before heavy rain; water it in with {say.Depth(FeedingTask.WaterInMm)} the same day unless the label says otherwise; sweep what fell on paving back onto the grass.";
        yield return "Gloves and closed shoes; keep children and pets off until it is watered in and dry.";
    }
}
