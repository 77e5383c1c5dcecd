using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class FeedAmountTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;
    private const double KgPerLb = 0.45359237;

    private static readonly Lawn Plain = new()
    {
        Place = new("79901", "El Paso", "TX", 31.76, -106.48, "America/Denver"),
        Grass = GrassKind.Bermuda,
        AreaM2 = 5 * 92.90304,
    };

    // University of Arizona, Master Gardener manual: 1 lb of N on 5,000 sq ft from ammonium sulfate: 25 lb with
    // 21 rounded to 20 %, exactly 23.81. University of Georgia: 46 % urea by the same rule, 5 / .46 = 10.87 lb.
    [Fact]
    public void Without_a_fertilizer_at_hand_usual_grades_are_worked_out()
    {
        var said = FeedAmount.Phrases(Plain, Lb);
        var pounds = said.Skip(1).Select(p => Pounds(p).First()).ToArray();
        Assert.Equal(3, pounds.Length);
        Assert.Equal(23.81, pounds[0], 0.005);
        Assert.Equal(10.87, pounds[1], 0.005);
    }

    [Fact]
    public void The_fertilizer_at_hand_is_worked_out_alone_in_two_passes_of_half()
    {
        var said = FeedAmount.Phrases(Plain with { Fertilizer = new(16, 4, 8) }, Lb);
        Assert.Equal(2, said.Length);
        Assert.StartsWith("Your 16-4-8: ", Text(said[1]), StringComparison.Ordinal);
        // Messages keep no space at the end of what is filled in.
        Assert.All(
            said.SelectMany(p => p.Arguments).OfType<string>(),
            a => Assert.Equal(a.Trim(), a)
        );
        var pounds = Pounds(said[1]);
        // University of Georgia: 6.3 lb of 16-4-8 a thousand (exact 6.25), so 31.25 on five.
        Assert.Equal(31.25, pounds[0], 0.005);
        Assert.Equal(pounds[0] / 2, pounds[1], 1e-9);
    }

    [Fact]
    public void A_fertilizer_without_nitrogen_is_named_as_unfit()
    {
        var said = FeedAmount.Phrases(Plain with { Fertilizer = new(0, 0, 60) }, Lb);
        Assert.Contains("0-0-60 holds no nitrogen", Text(said[1]), StringComparison.Ordinal);
    }

    [Fact]
    public void Without_an_area_the_product_is_told_as_a_rate()
    {
        var said = FeedAmount.Phrases(
            Plain with
            {
                AreaM2 = null,
                Fertilizer = new(10, 10, 10),
            },
            Lb
        );
        Assert.Empty(Pounds(said[1]));
        // University of Georgia: 10 lb of 10-10-10 for a pound.
        Assert.Equal(
            10 * Lb,
            said[1].Arguments.OfType<Quantity>().First(q => q.Kind == QuantityKind.AreaRate).Value,
            1e-9
        );
    }

    [Fact]
    public void Phosphate_is_offered_only_when_the_soil_test_asks_for_it()
    {
        SoilTest Test(double p) => new() { Date = new LocalDate(2026, 3, 1), PhosphorusMgKg = p };
        bool Offered(Lawn lawn) =>
            FeedAmount
                .Phrases(lawn, Lb)
                .Any(p => Text(p).Contains("16-4-8", StringComparison.Ordinal));
        Assert.False(Offered(Plain));
        Assert.False(Offered(Plain with { SoilTest = Test(60) }));
        Assert.True(Offered(Plain with { SoilTest = Test(10) }));
    }

    [Fact]
    public void More_than_one_feeding_holds_is_split()
    {
        Assert.DoesNotContain(
            FeedAmount.Phrases(Plain, Lb),
            p => Text(p).Contains("parts", StringComparison.Ordinal)
        );
        Assert.Contains(
            "in 2 parts",
            Text(FeedAmount.Phrases(Plain, 1.5 * Lb)[^1]),
            StringComparison.Ordinal
        );
        // As a winter overseed rye takes half a pound at most.
        var winter = FeedAmount.Phrases(
            Plain with
            {
                Overseed = GrassKind.AnnualRyegrass,
            },
            Lb,
            grass: GrassKind.AnnualRyegrass
        );
        Assert.Contains("in 2 parts", Text(winter[^1]), StringComparison.Ordinal);
    }

    [Fact]
    public void The_last_feeding_prefers_potash()
    {
        Assert.Contains(
            "15-0-15",
            Text(FeedAmount.Phrases(Plain, 0.5 * Lb, FeedLean.Potash)[1]),
            StringComparison.Ordinal
        );
        Assert.Contains(
            FeedAmount.Phrases(
                Plain with
                {
                    Fertilizer = new(21, 0, 0),
                },
                0.5 * Lb,
                FeedLean.Potash
            ),
            p => Text(p).Contains("less potash than nitrogen", StringComparison.Ordinal)
        );
    }

    private static double[] Pounds(Phrase phrase) =>
        [
            .. phrase
                .Arguments.OfType<Quantity>()
                .Where(q => q.Kind == QuantityKind.Mass)
                .Select(q => q.Value / KgPerLb),
        ];

    private static string Text(Phrase phrase) => phrase.InUs(DateTimeZone.Utc);
}
