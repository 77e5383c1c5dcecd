using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SoilHydraulicsTests
{
    // Saxton and Rawls (2006), Soil Sci. Soc. Am. J. 70:1569, eqs. 1–5, 15, 16 and 18, at 2.5 % organic matter; the
    // coefficients as several public codes carry them. The table prints two decimals.
    [Theory]
    [InlineData(SoilTexture.Sand)]
    [InlineData(SoilTexture.SandyLoam)]
    [InlineData(SoilTexture.Loam)]
    [InlineData(SoilTexture.ClayLoam)]
    [InlineData(SoilTexture.Clay)]
    public void Each_row_of_the_table_follows_from_the_regressions(SoilTexture texture)
    {
        var soil = SoilHydraulics.Of(texture);
        var (s, c, om) = (soil.SandFraction, soil.ClayFraction, 2.5);
        var first =
            -0.024 * s
            + 0.487 * c
            + 0.006 * om
            + 0.005 * s * om
            - 0.013 * c * om
            + 0.068 * s * c
            + 0.031;
        var wilting = first + 0.14 * first - 0.02;
        var second =
            -0.251 * s
            + 0.195 * c
            + 0.011 * om
            + 0.006 * s * om
            - 0.027 * c * om
            + 0.452 * s * c
            + 0.299;
        var field = second + 1.283 * second * second - 0.374 * second - 0.015;
        var third =
            0.278 * s
            + 0.034 * c
            + 0.022 * om
            - 0.018 * s * om
            - 0.027 * c * om
            - 0.584 * s * c
            + 0.078;
        var porosity = field + third + 0.636 * third - 0.107 - 0.097 * s + 0.043;
        var slope = (Math.Log(field) - Math.Log(wilting)) / Math.Log(1500 / 33.0);
        var conductivity = 1930 * Math.Pow(porosity - field, 3 - slope);

        Check.Near(wilting, soil.WiltingPoint, 0.0051);
        Check.Near(field, soil.FieldCapacity, 0.0051);
        Check.Near(porosity, soil.Porosity, 0.0051);
        Check.Near(conductivity, soil.SaturatedConductivityMmH, 0.051);
        Check.Near(2650 * (1 - porosity), soil.BulkDensityKgM3, 5.1);
    }

    [Fact]
    public void Finer_soil_holds_more_at_wilting_point_and_lets_less_through()
    {
        var soils = Enum.GetValues<SoilTexture>().Select(SoilHydraulics.Of).ToArray();
        for (var i = 1; i < soils.Length; i++)
        {
            Assert.True(soils[i].WiltingPoint > soils[i - 1].WiltingPoint);
            Assert.True(soils[i].SaturatedConductivityMmH < soils[i - 1].SaturatedConductivityMmH);
        }

        Assert.All(
            soils,
            soil =>
                Assert.True(
                    soil.WiltingPoint < soil.FieldCapacity && soil.FieldCapacity < soil.Porosity
                )
        );
        Assert.Equal([true, true, false, false, false], soils.Select(soil => soil.Coarse));
    }

    [Fact]
    public void A_texture_that_does_not_exist_is_refused_with_those_that_do() =>
        Assert.Contains(
            "use one of Sand, SandyLoam",
            Assert
                .Throws<ArgumentOutOfRangeException>(() => SoilHydraulics.Of((SoilTexture)99))
                .Message,
            StringComparison.Ordinal
        );
}
