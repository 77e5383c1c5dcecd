using NodaTime;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class GrowingGrassTests
{
    private static readonly Lawn Overseeded = new()
    {
        Place = new("85004", "Phoenix", "AZ", 33.45, -112.07, "America/Phoenix"),
        Grass = GrassKind.Bermuda,
        Overseed = GrassKind.PerennialRyegrass,
    };

    private static readonly Lawn Plain = Overseeded with { Overseed = null };

    private static LocalDate Day(int month, int day) => new(2026, month, day);

    [Fact]
    public void In_winter_the_overseed_leads_and_the_lawn_is_green_and_cool_season()
    {
        var growing = GrowingGrass.On(Overseeded, Day(12, 15), 10);
        Assert.Equal(GrassKind.PerennialRyegrass, growing.Grass.Kind);
        Assert.True(growing.IsOverseed);
        var surface = SurfaceClasses.For(Overseeded, Day(12, 15), 10);
        Assert.Equal((CanopyState.Active, false), (surface.Canopy, surface.WarmSeason));
    }

    [Fact]
    public void In_summer_the_base_leads()
    {
        var growing = GrowingGrass.On(Overseeded, Day(7, 15), 33);
        Assert.Equal((GrassKind.Bermuda, false), (growing.Grass.Kind, growing.IsOverseed));
        Assert.True(SurfaceClasses.For(Overseeded, Day(7, 15), 33).WarmSeason);
    }

    // Gelernter & Stowell 2005: the growth potentials cross at 24.8 °C.
    [Theory]
    [InlineData(24.5, GrassKind.PerennialRyegrass)]
    [InlineData(25.2, GrassKind.Bermuda)]
    public void In_fall_the_crossing_of_the_growth_curves_decides(double soilC, GrassKind leads) =>
        Assert.Equal(leads, GrowingGrass.On(Overseeded, Day(10, 20), soilC).Grass.Kind);

    // NC State / Turf Council of NC 2005: 50 °F; NC State (Miller 2022): 58 °F.
    [Theory]
    [InlineData(11, 15, 12, CanopyState.Active)]
    [InlineData(11, 15, 9.5, CanopyState.Dormant)]
    [InlineData(2, 15, 12, CanopyState.Dormant)]
    [InlineData(3, 20, 15, CanopyState.Active)]
    public void Bermudagrass_rests_from_50_on_the_way_down_to_58_on_the_way_up(
        int month,
        int day,
        double soilC,
        CanopyState canopy
    ) => Assert.Equal(canopy, SurfaceClasses.For(Plain, Day(month, day), soilC).Canopy);

    [Theory]
    [InlineData(1, 10, null, CanopyState.Dormant)]
    [InlineData(1, 10, double.NaN, CanopyState.Dormant)]
    [InlineData(6, 10, null, CanopyState.Active)]
    public void Without_a_soil_temperature_the_calendar_decides(
        int month,
        int day,
        double? soilC,
        CanopyState canopy
    ) => Assert.Equal(canopy, SurfaceClasses.For(Plain, Day(month, day), soilC).Canopy);

    [Fact]
    public void In_south_Florida_bermudagrass_does_not_rest_by_the_calendar()
    {
        var miami = Plain with
        {
            Place = new("33101", "Miami", "FL", 25.77, -80.19, "America/New_York"),
        };
        Assert.Equal(CanopyState.Active, SurfaceClasses.For(miami, Day(1, 10), null).Canopy);
    }

    [Fact]
    public void The_surface_class_carries_what_the_owner_said()
    {
        var lawn = Plain with { Soil = SoilTexture.Clay, Shade = Shade.Partial, Irrigated = true };
        Assert.Equal(
            new SurfaceClass(CanopyState.Active, Shade.Partial, true, SoilTexture.Clay, true),
            SurfaceClasses.For(lawn, Day(7, 1), 30)
        );
    }

    [Fact]
    public void A_height_set_for_bermudagrass_is_not_the_height_of_its_winter_rye()
    {
        var lawn = Overseeded with { MowingHeightCm = 1.5 * 2.54 };
        var winter = GrowingGrass.On(lawn, Day(12, 15), 10);
        var summer = GrowingGrass.On(lawn, Day(7, 15), 33);
        Assert.Equal(2.25 * 2.54, MowingNeed.HeightOfCutCm(lawn, winter), 9);
        Assert.Equal(1.5 * 2.54, MowingNeed.HeightOfCutCm(lawn, summer), 9);
    }

    [Fact]
    public void An_owner_s_height_within_the_rye_s_is_kept()
    {
        var lawn = Overseeded with { MowingHeightCm = 2.5 * 2.54 };
        var winter = GrowingGrass.On(lawn, Day(12, 15), 10);
        Assert.Equal(2.5 * 2.54, MowingNeed.HeightOfCutCm(lawn, winter), 9);
    }
}
