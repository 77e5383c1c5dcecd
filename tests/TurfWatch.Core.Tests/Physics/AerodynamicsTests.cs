using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public sealed class AerodynamicsTests
{
    private static readonly SurfaceParameters Turf = SurfaceParameters.For(
        new(CanopyState.Active, Shade.Sun, true, SoilTexture.Loam, true),
        GroundCover.Turf
    );

    [Theory]
    [InlineData(1)]
    [InlineData(8)]
    public void Without_wind_warm_ground_gives_heat_by_free_convection(double warmer)
    {
        // Nu = 0.069 Ra^(1/3) Pr^0.074 (Globe and Dropkin 1959) with air at 300 K as in Incropera, table A.4
        // (ν 15.89e-6, κ 22.5e-6 m²/s, Pr 0.707; both from memory, unverified). A dense canopy, so that no bare share counts.
        const double Viscosity = 15.89e-6;
        const double Diffusivity = 22.5e-6;
        var rayleighPerCube = 9.81 * warmer / (300 * Viscosity * Diffusivity);
        var expected = 0.069 * Diffusivity * Math.Cbrt(rayleighPerCube) * Math.Pow(0.707, 0.074);

        var air = new Aerodynamics(Turf with { LeafArea = 6 }, 2);

        Check.Close(expected, air.Ground(0.01, warmer), 0.03);
    }

    [Fact]
    public void Ground_colder_than_the_canopy_has_no_free_convection()
    {
        var air = new Aerodynamics(Turf with { LeafArea = 6 }, 2);

        Assert.True(air.Ground(0.01, -8) < 0.004 * 0.01);
    }

    [Fact]
    public void A_calm_hour_mixes_like_one_metre_a_second()
    {
        // Least wind of the Community Land Model, 1 m/s.
        var air = new Aerodynamics(Turf, 2);

        Assert.Equal(air.Above(10, 1), air.Above(10, 0));
        Assert.True(air.Above(10, 1.1).NeutralFriction > air.Above(10, 1).NeutralFriction);
    }
}
