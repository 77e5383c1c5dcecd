using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>
/// What a soil test means for a lawn, without a product's name. The laboratory knows its own method and region: its
/// reading comes first, and amounts of lime or sulfur are its to say.
/// </summary>
public static class SoilTestAdvice
{
    /// <summary>Id of the findings.</summary>
    public const string Id = "soil-test";

    /// <summary>pH below which lawn soil is called acid.</summary>
    public const double AcidPh = 6.0;

    /// <summary>pH above which iron and phosphorus are held back.</summary>
    public const double AlkalinePh = 7.5;

    /// <summary>Years after which a test is out of date.</summary>
    public const int GoodYears = 3;

    private const double AcidCentipedePh = 5.0;
    private const double AlkalineCentipedePh = 6.5;

    /// <summary>The findings, in the order of the laboratory's sheet; none without a test.</summary>
    public static ImmutableArray<Finding> Of(Lawn lawn, LocalDate date)
    {
        if (lawn.SoilTest is not { } test)
        {
            return [];
        }

        var said = ImmutableArray.CreateBuilder<Finding>();
        if (test.Date.PlusYears(GoodYears) < date)
        {
            said.Add(
                Made(
                    AdviceWeight.Cautions,
                    Phrase.Of($"The soil test is old: have a new one made before you lean on it."),
                    Phrase.Of($"sampled {test.Date}"),
                    Phrase.Of($"good for {GoodYears} years"),
                    "University of Minnesota Extension: every three to five years; phosphorus laws of several states: three"
                )
            );
        }

        Add(said, test.Ph, v => Ph(lawn, v));
        Add(said, test.PhosphorusMgKg, v => Phosphorus(lawn, v));
        Add(said, test.PotassiumMgKg, v => Potassium(lawn, v));
        Add(said, test.IronMgKg, v => Iron(v, test.Ph));
        Add(said, test.BoronMgKg, Boron);
        Add(said, test.OrganicMatterPercent, OrganicMatter);
        Add(said, test.SalinityDSM, v => Salinity(lawn, v));
        return said.ToImmutable();
    }

    private static Finding Ph(Lawn lawn, double ph)
    {
        var centipede = lawn.Grass == GrassKind.Centipede;
        var low = centipede ? AcidCentipedePh : AcidPh;
        var high = centipede ? AlkalineCentipedePh : AlkalinePh;
        return Made(
            ph < low || ph > high ? AdviceWeight.Cautions : AdviceWeight.Informs,
            ph < low
                    ? Phrase.Of(
                        $"The soil is acid for this grass: lime raises it; how much, only the laboratory's lime test can say. Leave ammonium sulfate alone."
                    )
                : ph > high
                    ? Phrase.Of(
                        $"The soil is alkaline: iron and phosphorus are there but held back. Yellow leaves with green veins want iron on the leaf, not more nitrogen; do not lime. Soil with free lime stays so whatever is put on it."
                    )
                : Phrase.Of($"The pH suits the grass: no lime, no sulfur."),
            Phrase.Of($"pH {Quantity.Plain(ph)}"),
            Phrase.Of($"good from {Quantity.Plain(low)} to {Quantity.Plain(high)}"),
            centipede
                ? "general lawn pages: centipedegrass pH 4.5-6.0; the ends here are judgement"
                : "Ohio State: 6.3-7.0 acceptable; general lawn pages 6.0-7.0; iron held back above about 7.5"
        );
    }

    private static Finding Phosphorus(Lawn lawn, double p)
    {
        var law = FertilizerLaw.For(lawn.Place.State);
        return Made(
            p < FeedAmount.LowPhosphorusMgKg ? AdviceWeight.Cautions : AdviceWeight.Informs,
            p < FeedAmount.LowPhosphorusMgKg
                    ? Phrase.Of(
                        $"Phosphorus is low: a fertilizer with a middle number is in place, at the rate the laboratory says."
                    )
                : p <= 54
                    ? Phrase.Of(
                        $"Phosphorus is enough: take fertilizer with 0 in the middle{(law.PhosphorusNeedsTest ? ", as " + law.Name + " law asks" : "")}."
                    )
                : Phrase.Of(
                    $"Phosphorus is high: more of it only reaches the water; take fertilizer with 0 in the middle."
                ),
            Phrase.Of($"{Ppm(p)} of phosphorus"),
            Phrase.Of($"low below {Ppm(FeedAmount.LowPhosphorusMgKg)}, high above {Ppm(54)}"),
            "Mehlich-3: low, Woods et al. 2016 (minimum levels for sustainable nutrition); sufficient 27-54, Carrow et al. 2003"
        );
    }

    private static Finding Potassium(Lawn lawn, double k)
    {
        var (sure, enough) = lawn.Soil is SoilTexture.Sand or SoilTexture.SandyLoam
            ? (50.0, 116.0)
            : (75.0, 176.0);
        return Made(
            k < sure ? AdviceWeight.Cautions : AdviceWeight.Informs,
            k < 37
                    ? Phrase.Of(
                        $"Potassium is low: choose a fertilizer whose third number is as large as the first, above all before winter."
                    )
                : k < sure
                    ? Phrase.Of(
                        $"Potassium is on the low side: a third number of half the first or more."
                    )
                : k <= enough ? Phrase.Of($"Potassium is enough: the clippings bring it back.")
                : Phrase.Of($"Potassium is high: no need for any."),
            Phrase.Of($"{Ppm(k)} of potassium"),
            Phrase.Of($"low below {Ppm(37)}, surely enough from {Ppm(sure)} on your soil"),
            "Mehlich-3: low, Woods et al. 2016; sufficient 50-116 on sand, 75-176 on other soils, Carrow et al. 2003"
        );
    }

    private static Finding Iron(double fe, double? ph) =>
        Made(
            fe < 4.5 ? AdviceWeight.Cautions : AdviceWeight.Informs,
            fe < 2.5
                    ? Phrase.Of(
                        $"Iron is low: if the leaves are yellow between green veins, iron on the leaf greens them within days without growth."
                    )
                : fe <= 4.5
                    ? Phrase.Of(
                        $"Iron is marginal: watch for leaves yellow between green veins{(ph > AlkalinePh ? ", the more so at your pH" : "")}."
                    )
                : ph > AlkalinePh
                    ? Phrase.Of(
                        $"There is iron enough, but at your pH the grass may not get at it: judge by the leaves."
                    )
                : Phrase.Of($"Iron is enough."),
            Phrase.Of($"{Ppm(fe)} of iron"),
            Phrase.Of($"low up to {Ppm(2.5)}, enough above {Ppm(4.5)}"),
            "DTPA: Havlin et al. 1999, as a table of 2019 repeats it; soil iron foretells yellowing poorly"
        );

    private static Finding Boron(double b) =>
        Made(
            b > 5 ? AdviceWeight.Cautions : AdviceWeight.Informs,
            b < 0.5
                    ? Phrase.Of(
                        $"Boron is low; lawns seldom show it, and a little too much burns: add none unless the laboratory says so."
                    )
                : b <= 5 ? Phrase.Of($"Boron is in order.")
                : Phrase.Of(
                    $"Boron is high: tips of the leaves burn. Mowing takes some away; deep watering washes it down where the soil drains. Ask the laboratory about your water too."
                ),
            Phrase.Of($"{Ppm(b)} of boron"),
            Phrase.Of($"low below {Ppm(0.5)}, high above {Ppm(5)}"),
            "low: Rutgers soil testing laboratory, 0.5 (Mehlich-3); high: from memory, unverified"
        );

    private static Finding OrganicMatter(double percent) =>
        Made(
            AdviceWeight.Informs,
            percent < 3
                    ? Phrase.Of(
                        $"Organic matter is low: leave the clippings, and a thin layer of ripe compost after coring helps the soil hold water."
                    )
                : percent <= 4.5 ? Phrase.Of($"Organic matter is middling: leave the clippings.")
                : Phrase.Of(
                    $"Organic matter is high: it feeds the grass; the lower nitrogen rates do."
                ),
            Phrase.Of($"{Quantity.Plain(percent)} percent organic matter"),
            Phrase.Of($"low below 3, high above 4.5 percent"),
            "University of Minnesota: 2.8 % low, 3.5 % medium; the limits between are from memory, unverified"
        );

    private static Finding Salinity(Lawn lawn, double ds)
    {
        var grass = Grasses.Of(lawn.Grass);
        return Made(
            ds >= grass.Salt.FromDSM ? AdviceWeight.Cautions : AdviceWeight.Informs,
            ds < grass.Salt.FromDSM ? Phrase.Of($"Salt is no trouble for {grass.Name}.")
                : ds < grass.Salt.ToDSM
                    ? Phrase.Of(
                        $"Salt may hold {grass.Name} back: water deeply and seldom, so that it goes down; choose fertilizer that releases slowly."
                    )
                : Phrase.Of(
                    $"There is more salt than {grass.Name} stands: wash it down with deep watering where the soil drains, feed little and slowly, and ask the laboratory about sodium."
                ),
            Phrase.Of($"{Quantity.Plain(ds)} dS/m"),
            Phrase.Of(
                $"may suffer from {Quantity.Plain(grass.Salt.FromDSM)}, does from {Quantity.Plain(grass.Salt.ToDSM)} dS/m"
            ),
            grass.Salt.Source
        );
    }

    private static void Add(
        ImmutableArray<Finding>.Builder said,
        double? value,
        Func<double, Finding> judge
    )
    {
        if (value is { } known)
        {
            said.Add(judge(known));
        }
    }

    private static Finding Made(
        AdviceWeight weight,
        Phrase text,
        Phrase evidence,
        Phrase threshold,
        string source
    ) => new(Id, weight, text, evidence, threshold, source);

    private static string Ppm(double mgKg) =>
        mgKg.ToString("0.##", System.Globalization.CultureInfo.InvariantCulture) + " ppm";
}
