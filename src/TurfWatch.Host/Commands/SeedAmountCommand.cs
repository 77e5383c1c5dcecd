using System.CommandLine;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch amount seed</c>: seed by its tag.</summary>
internal static class SeedAmountCommand
{
    public static Command Create(Terminal terminal) =>
        AmountCommand.Verb(
            terminal,
            "seed",
            """
            How much seed from the bag gives a wanted rate of seed that is pure and alive.

            Example: turfwatch amount seed --area 5000sqft --rate 6lb/1000sqft --purity 97.5% --germination 85% --bag 25lb
            """,
            [
                ("area", "AREA", "Area, for example 5000sqft, 450m2 or 0.2acre.", true),
                (
                    "rate",
                    "RATE",
                    "Wanted rate of pure live seed, for example 6lb/1000sqft or 30g/m2.",
                    true
                ),
                ("purity", "PERCENT", "Pure seed on the tag, for example 97.5%.", true),
                ("germination", "PERCENT", "Germination on the tag, for example 85%.", true),
                ("other-crop", "PERCENT", "Other crop seed on the tag.", false),
                ("weed", "PERCENT", "Weed seed on the tag.", false),
                ("inert", "PERCENT", "Inert matter on the tag, coating included.", false),
                ("bag", "MASS", "Size of a bag, for example 25lb or 10kg.", false),
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
        var purity = typed.Read<double>("purity", Measures.Percent, faults);
        var germination = typed.Read<double>("germination", Measures.Percent, faults);
        var crop = typed.Read<double>("other-crop", Measures.Percent, faults);
        var weed = typed.Read<double>("weed", Measures.Percent, faults);
        var inert = typed.Read<double>("inert", Measures.Percent, faults);
        var bag = typed.Read<double>("bag", Measures.BagKg, faults);
        if (faults.Count > 0)
        {
            return [];
        }

        var tag = new SeedTag(purity!.Value, germination!.Value, crop, weed, inert);
        if (purity == 0 || germination == 0)
        {
            faults.Add(
                "--purity and --germination must be above 0%; with none of it alive no amount of seed will do."
            );
        }
        else if (!tag.AddsUp)
        {
            faults.Add(
                $"The tag's parts add up to {AmountText.Number(tag.SumPercent)}%; pure seed, other crop, weed and inert make 100% (half a percent either way for rounding). Copy all four, or leave out those you do not know."
            );
        }

        return faults.Count > 0
            ? []
            : Lines(say, tag, SeedAmount.Of(tag, rate!.Value, area!.Value), area.Value, bag);
    }

    private static List<string> Lines(
        AmountText say,
        SeedTag tag,
        SeedAmount amount,
        double areaM2,
        double? bagKg
    )
    {
        List<string> lines =
        [
            $"Seed on {say.Area(areaM2)}",
            "",
            AmountText.Line(
                "Pure live",
                $"{AmountText.Number(amount.PureLiveShare * 100)}% of the bag"
            ),
            AmountText.Line(
                "From the bag",
                $"{say.Mass(amount.BulkKg)} ({say.Rate(amount.BulkGM2)})"
            ),
            AmountText.Line(
                "Two passes",
                $"{say.Mass(amount.BulkKg / 2)} each, the second crossways to the first"
            ),
        ];
        if (bagKg is { } bag)
        {
            lines.Add(AmountText.Line("Bags", say.Bags(amount.BulkKg, bag)));
        }

        lines.Add("");
        lines.AddRange(Cautions(tag).Select(c => "- " + c));
        return lines;
    }

    private static IEnumerable<string> Cautions(SeedTag tag)
    {
        if (tag.GerminationPercent < SeedAmount.GoodGerminationPercent)
        {
            yield return $"Germination below {SeedAmount.GoodGerminationPercent}% is weak for turf (LSU AgCenter); look at the month of the test.";
        }

        if (tag.OtherCropPercent > SeedAmount.GoodOtherCropPercent)
        {
            yield return $"Other crop seed above {SeedAmount.GoodOtherCropPercent}% (LSU AgCenter): what grows may not be what you want.";
        }

        if (tag.WeedPercent > SeedAmount.GoodWeedPercent)
        {
            yield return $"Weed seed above {SeedAmount.GoodWeedPercent}% (LSU AgCenter): look for a cleaner lot.";
        }

        if (tag.InertPercent > SeedAmount.GoodInertPercent)
        {
            yield return $"Inert matter above {SeedAmount.GoodInertPercent}% (LSU AgCenter): coated seed, or a poor lot.";
        }

        yield return "Whatever was put down against germinating weeds hinders the seed too: its label says how long to wait.";
        yield return "The label of the seed, and local codes where they name grasses or watering days, have the last word.";
    }
}
