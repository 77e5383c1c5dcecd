using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class SeedAmountTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;
    private const double KgPerLb = 0.45359237;

    // LSU AgCenter: 48 % pure, 80 % germination, 20,000 sq ft, 1 lb PLS: prints 52.6 lb from a share rounded
    // to .38; exact share .384, 52.08 lb.
    [Fact]
    public void The_coated_bermuda_example_comes_out()
    {
        var amount = SeedAmount.Of(new(48, 80), Lb, 20 * 92.90304);
        Assert.Equal(0.384, amount.PureLiveShare, 1e-9);
        Assert.Equal(52.08, amount.BulkKg / KgPerLb, 0.005);
        Assert.Equal(52.6, 20 / Math.Round(amount.PureLiveShare, 2), 0.05);
    }

    // Texas DOT: .85 x .75 printed .64, 1.56 lb bulk for 1 lb (exact .6375, 1.569). Penn State: 92 x 80
    // printed 74 % and 1.4 lb (exact 1.359); 85 x 60 = 51 %; 99 x 90 printed 89 %.
    [Theory]
    [InlineData(85, 75, 0.64, 1.56, 0.01)]
    [InlineData(92, 80, 0.74, 1.4, 0.05)]
    [InlineData(85, 60, 0.51, 1.961, 0.0005)]
    [InlineData(99, 90, 0.89, 1.122, 0.0005)]
    public void Pure_live_seed_agrees_with_the_printed_figures_to_their_rounding(
        double purity,
        double germination,
        double printedShare,
        double bulk,
        double rounding
    )
    {
        var amount = SeedAmount.Of(new(purity, germination), 1, 1);
        Assert.Equal(printedShare, amount.PureLiveShare, 0.005);
        Assert.Equal(bulk, amount.BulkGM2, rounding);
    }

    // The four parts of a label's weight (Federal Seed Act, as University of Arizona explains it) make up 100 %.
    [Theory]
    [InlineData(97.5, 0.3, 0.2, 2.0, true)]
    [InlineData(97.5, 0.3, 0.2, 1.6, true)]
    [InlineData(97.5, 0.3, 0.2, 1.2, false)]
    [InlineData(97.5, 0.3, 0.2, 3.0, false)]
    [InlineData(97.5, 0.3, null, null, true)]
    [InlineData(97.5, 5.0, null, null, false)]
    [InlineData(0, 0.0, 0.0, 100.0, false)]
    public void A_tag_must_add_up(
        double pure,
        double? crop,
        double? weed,
        double? inert,
        bool addsUp
    )
    {
        var tag = new SeedTag(pure, 85, crop, weed, inert);
        Assert.Equal(addsUp, tag.AddsUp);
        if (!addsUp)
        {
            Assert.Throws<ArgumentOutOfRangeException>(() => SeedAmount.Of(tag, 5, 100));
        }
    }
}
