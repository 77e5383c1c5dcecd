using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class SeasonalHeightTests
{
    // Iowa State University extension (1994): bluegrass 2-2.5 in in spring and fall, 3 in in summer.
    // Roots cease above 77 °F soil (NC State / Turf Council of NC 2005).
    [Theory]
    [InlineData(7, 24.9, 2.5, HeightReason.Usual)]
    [InlineData(7, 25.1, 3.0, HeightReason.Heat)]
    [InlineData(3, 25.1, 2.5, HeightReason.Usual)]
    [InlineData(7, double.NaN, 2.5, HeightReason.Usual)]
    public void Bluegrass_is_raised_in_the_heat(
        int month,
        double soilC,
        double inches,
        HeightReason reason
    )
    {
        var height = For(GrassKind.KentuckyBluegrass, new(2026, month, 10), soilC);
        Assert.Equal(inches * 2.54, height.Cm, 9);
        Assert.Equal(reason, height.Reason);
    }

    [Fact]
    public void Drought_raises_it_too() =>
        Assert.Equal(
            HeightReason.Drought,
            For(GrassKind.TallFescue, new(2026, 6, 10), 20, water: 0.3).Reason
        );

    // University of Georgia (2022): bermudagrass kept at 1 in goes to 1.5 in for fall, centipedegrass to 2 in.
    [Theory]
    [InlineData(GrassKind.Bermuda, 2.54, 1.5)]
    [InlineData(GrassKind.Centipede, 1.5 * 2.54, 2.0)]
    public void Southern_grasses_are_raised_before_winter(GrassKind kind, double own, double inches)
    {
        var height = For(kind, new(2026, 10, 1), 22, ownCm: own);
        Assert.Equal((inches * 2.54, HeightReason.Fall), (height.Cm, height.Reason));
        Assert.Equal(HeightReason.Usual, For(kind, new(2026, 10, 1), 26, ownCm: own).Reason);
        Assert.Equal(HeightReason.Usual, For(kind, new(2026, 4, 10), 22, ownCm: own).Reason);
    }

    // UF/IFAS Leon County (2016): in the shade at the higher end; St. Augustinegrass 2.5-4 in.
    [Fact]
    public void Shade_asks_for_the_higher_end()
    {
        var height = For(GrassKind.StAugustine, new(2026, 4, 10), 20, shade: Shade.Full);
        Assert.Equal((4 * 2.54, HeightReason.Shade), (height.Cm, height.Reason));
    }

    [Fact]
    public void Nothing_is_ever_lowered()
    {
        foreach (var grass in Grasses.All)
        {
            Assert.True(For(grass.Kind, new(2026, 7, 20), 30, water: 0.2, ownCm: 12).Cm >= 12);
        }
    }

    [Fact]
    public void Winter_rye_is_left_at_its_own_height()
    {
        var lawn = Lawn(GrassKind.Bermuda) with { Overseed = GrassKind.PerennialRyegrass };
        var growing = GrowingGrass.On(lawn, new(2026, 11, 20), 14);
        Assert.Equal(
            HeightReason.Usual,
            SeasonalHeight.For(lawn, growing, new(2026, 11, 20), 14, 0.9).Reason
        );
    }

    [Fact]
    public void The_owners_height_is_raised_in_words_only()
    {
        var maker = new MorningMaker(new LocalDate(2026, 7, 13));
        Array.Fill(maker.Soil10, 26);
        maker.Lawn = maker.Lawn with { MowingHeightCm = 7.62 };
        var morning = maker.Build();
        Assert.Equal(7.62, morning.Need.SetHeightCm);
        Assert.Equal(3.5 * 2.54, morning.Height.Cm, 9);
        maker.Lawn = maker.Lawn with { MowingHeightCm = null };
        Assert.Equal(3.5 * 2.54, maker.Build().Need.SetHeightCm, 9);
    }

    private static SeasonalHeight For(
        GrassKind kind,
        LocalDate date,
        double soilC,
        double water = 0.95,
        double? ownCm = null,
        Shade shade = Shade.Sun
    )
    {
        var lawn = Lawn(kind) with { MowingHeightCm = ownCm, Shade = shade };
        return SeasonalHeight.For(lawn, GrowingGrass.On(lawn, date, soilC), date, soilC, water);
    }

    private static Lawn Lawn(GrassKind kind) =>
        new()
        {
            Place = new("72201", "Little Rock", "AR", 34.75, -92.28, "America/Chicago"),
            Grass = kind,
        };
}
