using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class GrassesTests
{
    [Fact]
    public void Every_grass_a_lawn_can_have_is_described() =>
        Assert.Equal(Enum.GetValues<GrassKind>(), Grasses.All.Select(g => g.Kind));

    [Fact]
    public void Every_figure_names_its_source()
    {
        foreach (var grass in Grasses.All)
        {
            string[] sources =
            [
                grass.Heights.Source,
                grass.GrowthOptimumC.Source,
                grass.GrowthSpreadC.Source,
                grass.DormancySoilC.Source,
                grass.GreenUpSoilC.Source,
                grass.MaxLeafGrowthCmPerDay.Source,
                grass.WaterStressDepletion.Source,
            ];
            Assert.DoesNotContain(sources, string.IsNullOrWhiteSpace);
        }
    }

    // Kansas State extension (Upham 2014) and UF/IFAS Leon County (2016), as printed, in inches.
    [Theory]
    [InlineData(GrassKind.TallFescue, 2.5, 3.5)]
    [InlineData(GrassKind.KentuckyBluegrass, 2, 3)]
    [InlineData(GrassKind.Buffalograss, 2, 3)]
    [InlineData(GrassKind.Bermuda, 1, 2)]
    [InlineData(GrassKind.Centipede, 1.5, 2)]
    [InlineData(GrassKind.StAugustine, 2.5, 4)]
    public void Heights_are_those_the_extension_services_print(
        GrassKind kind,
        double minIn,
        double maxIn
    )
    {
        var heights = Grasses.Of(kind).Heights;
        Assert.Equal(minIn * 2.54, heights.MinCm, 9);
        Assert.Equal(maxIn * 2.54, heights.MaxCm, 9);
        Assert.InRange(heights.UsualCm, heights.MinCm, heights.MaxCm);
    }

    // Texas AgriLife extension: rye over a dormant lawn at 2 to 2.5 in.
    [Theory]
    [InlineData(GrassKind.PerennialRyegrass)]
    [InlineData(GrassKind.AnnualRyegrass)]
    public void Winter_rye_is_kept_at_two_to_two_and_a_half_inches(GrassKind kind)
    {
        var heights = Grasses.Of(kind).WinterOverseedHeights!;
        Assert.Equal((2 * 2.54, 2.5 * 2.54), (heights.MinCm, heights.MaxCm));
    }

    // NC State / Turf Council of NC 2005: 50 °F; NC State (Miller 2022): bermudagrass green at 58 °F.
    [Fact]
    public void Bermudagrass_rests_below_50_and_greens_up_above_58_fahrenheit()
    {
        var bermuda = Grasses.Of(GrassKind.Bermuda);
        Assert.Equal((50 - 32) / 1.8, bermuda.DormancySoilC.Value, 0.05);
        Assert.Equal((58 - 32) / 1.8, bermuda.GreenUpSoilC.Value, 0.05);
    }

    [Fact]
    public void A_grass_that_is_none_is_refused_by_name() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Grasses.Of((GrassKind)99));
}
