using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class SeedAmountsTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;
    private const double KgPerLb = 0.45359237;

    private static readonly Lawn Thousand = new()
    {
        Place = new("79901", "El Paso", "TX", 31.76, -106.48, "America/Denver"),
        Grass = GrassKind.Bermuda,
        Overseed = GrassKind.AnnualRyegrass,
        AreaM2 = 92.90304,
    };

    // Common practice, no source: annual ryegrass over bermudagrass at 10 lb per 1,000 sq ft, so that a 50 lb
    // bag serves 1,000 sq ft for five seasons.
    [Fact]
    public void Ten_pounds_of_annual_rye_on_a_thousand_square_feet()
    {
        var said = SeedAmounts.Phrases(
            Thousand,
            GrassKind.AnnualRyegrass,
            SeedPurpose.WinterOverseed
        );
        var pounds = Pounds(said[1]);
        Assert.Equal(10, pounds[0], 1e-6);
        Assert.Equal(5, 50 / pounds[0], 1e-6);
        Assert.Equal(5, pounds[1], 1e-6);
    }

    // Kansas State county extension: tall fescue 6-8 lb on new ground, 3-4 lb into a lawn that is half full.
    [Fact]
    public void A_thin_lawn_takes_half()
    {
        var rate = SeedAmounts.Rate(GrassKind.TallFescue, SeedPurpose.ThinLawn)!;
        Assert.InRange(rate.UsualGM2 / Lb, 3, 4);
        Assert.Equal(4, rate.MaxGM2 / Lb, 1e-9);
    }

    [Theory]
    [InlineData(GrassKind.StAugustine, SeedPurpose.NewLawn, "plant plugs or lay sod")]
    [InlineData(GrassKind.TallFescue, SeedPurpose.WinterOverseed, "sown with ryegrass")]
    public void A_grass_that_is_not_sown_so_is_said_to_be_none(
        GrassKind kind,
        SeedPurpose purpose,
        string words
    )
    {
        var said = Assert.Single(SeedAmounts.Phrases(Thousand, kind, purpose));
        Assert.Contains(words, said.InUs(DateTimeZone.Utc), StringComparison.Ordinal);
    }

    [Fact]
    public void Without_an_area_the_seed_is_told_as_a_rate() =>
        Assert.All(
            SeedAmounts.Phrases(
                Thousand with
                {
                    AreaM2 = null,
                },
                GrassKind.PerennialRyegrass,
                SeedPurpose.WinterOverseed
            ),
            p => Assert.Empty(Pounds(p))
        );

    private static double[] Pounds(Phrase phrase) =>
        [
            .. phrase
                .Arguments.OfType<Quantity>()
                .Where(q => q.Kind == QuantityKind.Mass)
                .Select(q => q.Value / KgPerLb),
        ];
}
