using System.CommandLine;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch amount seed</c>: seed by its kind, or by its tag.</summary>
internal static class SeedAmountCommand
{
    public static Command Create(Terminal terminal) =>
        AmountCommand.Verb(
            terminal,
            "seed",
            """
            How much seed from the bag an area takes, what the tag says of it, and how long the bag lasts.

            Example: turfwatch amount seed --area 5000sqft --rate 6lb/1000sqft --purity 97.5% --germination 85% --bag 25lb
            Example: turfwatch amount seed --area 1000sqft --grass annual-ryegrass --for winter-overseed --bag 50lb --weed 0.03%
            """,
            [
                AmountWords.Area,
                new(
                    "rate",
                    "RATE",
                    "Wanted rate, for example 6lb/1000sqft or 30g/m2: of pure live seed when the tag is given, else of seed from the bag. May be left out with --grass."
                ),
                AmountWords.Grass,
                new(
                    "for",
                    "PURPOSE",
                    "With --grass: new-lawn, thin-lawn, winter-overseed, bare-spots. Left out: new-lawn."
                ),
                new("purity", "PERCENT", "Pure seed on the tag, for example 97.5%."),
                new("germination", "PERCENT", "Germination on the tag, for example 85%."),
                new("tested", "MONTH", "Month of the germination test, for example 2026-08."),
                new("other-crop", "PERCENT", "Other crop seed on the tag."),
                new("weed", "PERCENT", "Weed seed on the tag."),
                new("inert", "PERCENT", "Inert matter on the tag, coating included."),
                new("noxious", "NUMBER", "Noxious weed seeds a pound on the tag; 0 for none."),
                AmountWords.Bag,
                AmountWords.On,
            ],
            Answer
        );

    private static IEnumerable<string> Answer(AmountWords typed)
    {
        var say = typed.Say;
        var area = typed.Read<double>("area", Measures.AreaM2);
        var rate = typed.Read<double>("rate", Measures.RateGM2);
        var grass = typed.Read<GrassKind>("grass", Words.OneOf<GrassKind>);
        var purpose = typed.Read<SeedPurpose>("for", Words.OneOf<SeedPurpose>);
        var purity = typed.Read<double>("purity", Measures.Percent);
        var germination = typed.Read<double>("germination", Measures.Percent);
        var crop = typed.Read<double>("other-crop", Measures.Percent);
        var weed = typed.Read<double>("weed", Measures.Percent);
        var inert = typed.Read<double>("inert", Measures.Percent);
        var noxious = typed.Read<double>("noxious", Measures.SeedsPerLb);
        var bag = typed.Read<double>("bag", Measures.BagKg);
        var day = typed.Day();
        var tested = typed.Month("tested");
        var usual = Usual(typed, grass, purpose);
        // Without purity and germination the parts that are told must still fit into one bag.
        var tag = new SeedTag(purity ?? 0.01, germination ?? 100, crop, weed, inert);
        JudgeTag(typed, tag, purity, germination);
        if (typed.Faults.Count > 0)
        {
            return [];
        }

        var wanted = rate ?? usual!.UsualGM2;
        var full = purity is not null;
        var amount = SeedAmount.Of(
            full ? tag : new SeedTag(100, 100),
            Math.Min(wanted, 200),
            area!.Value
        );
        return
        [
            $"Seed on {say.Area(area.Value)}",
            "",
            .. Lines(say, amount, full, rate is null ? usual : null, bag),
            .. Age(say, amount, germination, tested, day),
            .. Impurities(say, amount, area.Value, crop, weed, noxious),
            .. grass is { } kind ? Kind(say, Grasses.Of(kind), wanted) : [],
            .. AmountText.Minding(Cautions(tag, full, tested, noxious, day)),
        ];
    }

    private static SeedRate? Usual(AmountWords typed, GrassKind? grass, SeedPurpose? purpose)
    {
        if (grass is not { } kind)
        {
            if (purpose is not null)
            {
                typed.Faults.Add("--for is of use only with --grass; name the grass to be sown.");
            }

            if (!typed.Has("rate") && !typed.Has("grass"))
            {
                typed.Faults.Add(
                    "--rate is missing: write the wanted rate, for example 6lb/1000sqft, or the grass with --grass, whose usual rate is taken."
                );
            }

            return null;
        }

        var usual = SeedAmounts.Rate(kind, purpose ?? SeedPurpose.NewLawn);
        if (usual is null && !typed.Has("rate"))
        {
            typed.Faults.Add(
                $"--grass is {Words.Kebab(kind.ToString())}, which has no usual rate for {Words.Kebab((purpose ?? SeedPurpose.NewLawn).ToString())}; it is planted, or sown otherwise. Give a rate with --rate if you mean it."
            );
        }

        return usual;
    }

    private static void JudgeTag(
        AmountWords typed,
        SeedTag tag,
        double? purity,
        double? germination
    )
    {
        if (
            (purity is null && typed.Has("germination") && !typed.Has("purity"))
            || (germination is null && typed.Has("purity") && !typed.Has("germination"))
        )
        {
            typed.Faults.Add(
                "--purity and --germination belong together: the share of live seed is one times the other. Copy both from the tag."
            );
        }
        else if (purity == 0 || germination == 0)
        {
            typed.Faults.Add(
                "--purity and --germination must be above 0%; with none of it alive no amount of seed will do."
            );
        }
        else if (purity is not null ? !tag.AddsUp : tag.SumPercent > 100 + SeedTag.RoundingPercent)
        {
            typed.Faults.Add(
                $"The tag's parts add up to {AmountText.Number(tag.SumPercent)}%; pure seed, other crop, weed and inert make 100% (half a percent either way for rounding). Copy all four, or leave out those you do not know."
            );
        }
    }

    private static IEnumerable<string> Lines(
        AmountText say,
        SeedAmount amount,
        bool tag,
        SeedRate? usual,
        double? bagKg
    )
    {
        if (usual is not null)
        {
            yield return AmountText.Line(
                "Usual rate",
                $"{say.Rate(usual.UsualGM2)}, from {say.Rate(usual.MinGM2)} to {say.Rate(usual.MaxGM2)}"
            );
            yield return AmountText.Line("Rests on", usual.Source);
        }

        if (tag)
        {
            yield return AmountText.Line(
                "Pure live",
                $"{AmountText.Number(amount.PureLiveShare * 100)}% of the bag"
            );
        }

        yield return AmountText.Line(
            "From the bag",
            $"{say.Mass(amount.BulkKg)} ({say.Rate(amount.BulkGM2)})"
        );
        yield return say.TwoPasses(amount.BulkKg);
        if (bagKg is { } bag)
        {
            yield return AmountText.Line("Bags", say.Bags(amount.BulkKg, bag));
            if (bag > amount.BulkKg)
            {
                yield return AmountText.Line("Lasts", Lasts(say, amount, bag));
            }
        }
    }

    private static string Lasts(AmountText say, SeedAmount amount, double bagKg)
    {
        var fresh = SeedStorage.Bag(bagKg, amount.BulkKg, lossAYear: 0).Length;
        var aged = SeedStorage.Bag(bagKg, amount.BulkKg);
        var needs = string.Join(", ", aged.Select(s => say.Mass(s.NeedKg)));
        return aged.Length == fresh
            ? $"{Seasons(fresh)} at that rate"
            : $"{Seasons(fresh)} at that rate; {aged.Length} when each year takes {AmountText.Number(SeedStorage.LossAYear * 100)}% of its germination and you sow more for it: {needs}";
    }

    private static string Seasons(int count) => count == 1 ? "1 season" : $"{count} seasons";

    private static IEnumerable<string> Age(
        AmountText say,
        SeedAmount amount,
        double? germination,
        LocalDate? tested,
        LocalDate day
    )
    {
        if (germination is not { } percent || tested is not { } month)
        {
            yield break;
        }

        var years = Math.Max(0, Period.DaysBetween(month, day)) / 365.25;
        var likely = SeedStorage.Germination(percent, years);
        var best = SeedStorage.Germination(percent, years, SeedStorage.LeastLossAYear);
        var worst = SeedStorage.Germination(percent, years, SeedStorage.MostLossAYear);
        yield return AmountText.Line(
            "By its age",
            $"germination perhaps {AmountText.Number(Math.Round(likely))}% ({AmountText.Number(Math.Round(worst))} to {AmountText.Number(Math.Round(best))}%, by how it was kept), then {say.Mass(amount.BulkKg * percent / likely)}"
        );
    }

    private static IEnumerable<string> Impurities(
        AmountText say,
        SeedAmount amount,
        double areaM2,
        double? crop,
        double? weed,
        double? noxious
    )
    {
        string Count(double percent)
        {
            var count = SeedCount.Of(amount.BulkKg, percent);
            var unit = say.Us ? Customary.SquareFootM2 : 1;
            return $"{AmountText.Number(count.Low, 2)} to {AmountText.Number(count.High, 2)} seeds on this lawn, {AmountText.Number(count.Low / areaM2 * unit, 2)} to {AmountText.Number(count.High / areaM2 * unit, 2)} a {(say.Us ? "square foot" : "square metre")}, by their size";
        }

        if (weed is { } w)
        {
            yield return AmountText.Line("Weed seed", Count(w));
        }

        if (crop is { } c)
        {
            yield return AmountText.Line("Other crop", Count(c));
        }

        if (noxious is { } n)
        {
            yield return AmountText.Line(
                "Noxious",
                $"{AmountText.Number(n * amount.BulkKg / Customary.PoundKg, 2)} seeds on this lawn"
            );
        }
    }

    private static IEnumerable<string> Kind(AmountText say, Grass grass, double wantedGM2)
    {
        if (SeedCount.LivePerM2(grass, wantedGM2) is { } live)
        {
            yield return AmountText.Line(
                "Live seeds",
                say.Us
                    ? $"about {AmountText.Number(live * Customary.SquareFootM2, 2)} a square foot ({grass.SeedsPerKg!.Source})"
                    : $"about {AmountText.Number(live, 2)} a square metre ({grass.SeedsPerKg!.Source})"
            );
        }

        if (grass.Germination is { } up)
        {
            yield return AmountText.Line(
                "Comes up",
                $"in {up.DaysMin} to {up.DaysMax} days, best at {say.Temperature(up.LowC)} to {say.Temperature(up.HighC)}"
            );
            yield return AmountText.Line(
                "Water",
                $"until it is up 2 to 4 light waterings a day of {say.Depth(SeedWatering.LightMm)} each; then once a day {say.Depth(SeedWatering.SeedlingMm)} for about {SeedWatering.SeedlingDays} days"
            );
        }
    }

    private static IEnumerable<string> Cautions(
        SeedTag tag,
        bool full,
        LocalDate? tested,
        double? noxious,
        LocalDate day
    )
    {
        if (full && tag.GerminationPercent < SeedAmount.GoodGerminationPercent)
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
        else if (tag.WeedPercent <= SeedCount.CleanWeedPercent)
        {
            yield return $"A clean tag: weed seed of {SeedCount.CleanWeedPercent}% or less (common practice).";
        }

        if (tag.InertPercent > SeedAmount.GoodInertPercent)
        {
            yield return $"Inert matter above {SeedAmount.GoodInertPercent}% (LSU AgCenter): coated seed, or a poor lot.";
        }

        if (noxious > 0)
        {
            yield return "Noxious weeds: leave this bag in the shop. States forbid some of them altogether, and one plant is one too many.";
        }

        if (tested is { } month && month.PlusMonths(SeedStorage.TestGoodMonths) < day)
        {
            yield return $"The test is more than {SeedStorage.TestGoodMonths} months old: try it yourself, 50 seeds in damp paper, counted after the days it needs. Below {SeedStorage.WorthSowingPercent}% it is not worth sowing (common practice).";
        }

        yield return "Keep what is left cool, dry and closed.";
        yield return "Whatever was put down against germinating weeds hinders the seed too: its label says how long to wait.";
        yield return "The label of the seed, and local codes where they name grasses or watering days, have the last word.";
    }
}
