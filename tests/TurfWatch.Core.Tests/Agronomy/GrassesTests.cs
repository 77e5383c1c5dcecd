using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class GrassesTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;

    [Fact]
    public void Every_grass_a_lawn_can_have_is_described() =>
        Assert.Equal(Enum.GetValues<GrassKind>(), Grasses.All.Select(g => g.Kind).Order());

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
                grass.ShootStopSoilC.Source,
                grass.RootStopSoilC?.Source ?? "none",
                grass.StressHeightCm?.Source ?? "none",
                grass.FallHeightCm?.Source ?? "none",
                grass.SpringScalpCm?.Source ?? "none",
                grass.Drought.Source,
                grass.Shade.Source,
                grass.Salt.Source,
                grass.Nitrogen.Source,
                grass.WinterOverseedNitrogen?.Source ?? "none",
                grass.Seed?.Source ?? "none",
                grass.WinterOverseedSeed?.Source ?? "none",
                grass.SeedsPerKg?.Source ?? "none",
                grass.Germination?.Source ?? "none",
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

    // Texas AgriLife (McAfee): hybrid bermudagrass 3 to 5 lb of nitrogen a year, common 2 to 4.
    [Fact]
    public void A_hybrid_bermudagrass_is_fed_more_cut_lower_and_never_sown()
    {
        var (common, hybrid) = (Grasses.Of(GrassKind.Bermuda), Grasses.Of(GrassKind.HybridBermuda));
        Assert.Equal(3 * Lb, hybrid.Nitrogen.SeasonMinGM2, 9);
        Assert.Equal(5 * Lb, hybrid.Nitrogen.SeasonMaxGM2, 9);
        Assert.Equal(4 * Lb, common.Nitrogen.SeasonMaxGM2, 9);
        Assert.True(hybrid.Heights.UsualCm < common.Heights.UsualCm);
        Assert.Null(hybrid.Seed);
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

    // NC State / Turf Council of NC 2005: cool-season shoots 90 °F, roots 77 °F; warm-season shoots 120 °F.
    [Theory]
    [InlineData(GrassKind.TallFescue, 90, 77)]
    [InlineData(GrassKind.Bermuda, 120, null)]
    public void Shoots_and_roots_stop_where_the_table_says(
        GrassKind kind,
        double shootsF,
        int? rootsF
    )
    {
        var grass = Grasses.Of(kind);
        Assert.Equal((shootsF - 32) / 1.8, grass.ShootStopSoilC.Value, 0.05);
        Assert.Equal(rootsF is { } f ? (f - 32) / 1.8 : null, grass.RootStopSoilC?.Value);
    }

    // Iowa State University extension 1994: bluegrass at 3 in in summer. University of Georgia 2022: bermudagrass
    // at 1.5 in and centipedegrass at 2 in for fall.
    [Fact]
    public void Seasonal_heights_are_those_the_extension_services_print()
    {
        Assert.Equal(3 * 2.54, Grasses.Of(GrassKind.KentuckyBluegrass).StressHeightCm!.Value, 9);
        Assert.Equal(1.5 * 2.54, Grasses.Of(GrassKind.Bermuda).FallHeightCm!.Value, 9);
        Assert.Equal(2 * 2.54, Grasses.Of(GrassKind.Centipede).FallHeightCm!.Value, 9);
    }

    [Fact]
    public void Only_bermudagrass_and_zoysiagrass_are_cut_low_in_spring() =>
        Assert.Equal(
            [GrassKind.Bermuda, GrassKind.HybridBermuda, GrassKind.Zoysia],
            Grasses.All.Where(g => g.SpringScalpCm is not null).Select(g => g.Kind)
        );

    // University of Nebraska (Reicher 2012): a quarter inch every four weeks for bluegrass, two to three for fescue.
    [Fact]
    public void Bluegrass_rests_through_drought_and_tall_fescue_does_not()
    {
        var (blue, tall) = (
            Grasses.Of(GrassKind.KentuckyBluegrass).Drought,
            Grasses.Of(GrassKind.TallFescue).Drought
        );
        Assert.Equal((true, 6.35, 28), (blue.GoesBrown, blue.SurvivalMm, blue.EveryDays));
        Assert.False(tall.GoesBrown);
        Assert.InRange(tall.EveryDays, 14, 21);
    }

    // As printed, lb of N on 1,000 sq ft a season: Texas AgriLife (McAfee) bermudagrass 2-4, buffalograss 1-2;
    // University of Florida, north: centipedegrass 1-2, St. Augustinegrass 2-4; University of Illinois (1995):
    // tall fescue 2-4, Kentucky bluegrass 1-4, fine fescue 1-3.
    [Theory]
    [InlineData(GrassKind.Bermuda, 2, 4)]
    [InlineData(GrassKind.Buffalograss, 1, 2)]
    [InlineData(GrassKind.Centipede, 1, 2)]
    [InlineData(GrassKind.StAugustine, 2, 4)]
    [InlineData(GrassKind.TallFescue, 2, 4)]
    [InlineData(GrassKind.KentuckyBluegrass, 1, 4)]
    [InlineData(GrassKind.FineFescue, 1, 3)]
    public void Nitrogen_of_a_season_is_what_the_extension_services_print(
        GrassKind kind,
        double minLb,
        double maxLb
    )
    {
        var need = Grasses.Of(kind).Nitrogen;
        Assert.Equal(minLb * Lb, need.SeasonMinGM2, 1e-9);
        Assert.Equal(maxLb * Lb, need.SeasonMaxGM2, 1e-9);
        Assert.InRange(need.FeedingMaxGM2, need.FeedingMinGM2, Lb + 1e-9);
    }

    // Printed: 4.882 g/m² is a pound on 1,000 sq ft; Kansas State: tall fescue 6-8 lb (the upper end), Kentucky
    // bluegrass up to 3; LSU AgCenter: annual ryegrass 5-10, zoysiagrass 1-2, bermudagrass 0.75-1 lb.
    [Theory]
    [InlineData(GrassKind.TallFescue, 5, 8)]
    [InlineData(GrassKind.KentuckyBluegrass, 1, 3)]
    [InlineData(GrassKind.AnnualRyegrass, 5, 10)]
    [InlineData(GrassKind.Zoysia, 1, 2)]
    [InlineData(GrassKind.Bermuda, 0.75, 1)]
    public void Seeding_rates_are_those_printed(GrassKind kind, double minLb, double maxLb)
    {
        var rate = Grasses.Of(kind).Seed!;
        Assert.Equal(minLb * 4.882, rate.MinGM2, 0.005);
        Assert.Equal(maxLb * 4.882, rate.MaxGM2, 0.005);
        Assert.InRange(rate.UsualGM2, rate.MinGM2, rate.MaxGM2);
    }

    // Purdue, after Beard: tall fescue and perennial ryegrass 68-86 °F, Kentucky bluegrass 59-86, red fescue 59-77.
    [Theory]
    [InlineData(GrassKind.TallFescue, 20, 30)]
    [InlineData(GrassKind.PerennialRyegrass, 20, 30)]
    [InlineData(GrassKind.KentuckyBluegrass, 15, 30)]
    [InlineData(GrassKind.FineFescue, 15, 25)]
    public void Seed_comes_up_best_between_the_printed_temperatures(
        GrassKind kind,
        double lowC,
        double highC
    )
    {
        var germination = Grasses.Of(kind).Germination!;
        Assert.Equal(lowC, germination.LowC, 0.05);
        Assert.Equal(highC, germination.HighC, 0.05);
        Assert.True(germination.DaysMin < germination.DaysMax);
    }

    [Fact]
    public void A_planted_grass_has_neither_seed_nor_germination()
    {
        var planted = Grasses.Of(GrassKind.StAugustine);
        Assert.Null(planted.Seed);
        Assert.Null(planted.Germination);
        Assert.Null(planted.SeedsPerKg);
    }

    [Fact]
    public void A_grass_that_is_none_is_refused_by_name() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Grasses.Of((GrassKind)99));
}
