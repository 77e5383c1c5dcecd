using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;
using static TurfWatch.Core.Physics.SoilThermalProperties;

namespace TurfWatch.Core.Tests.Physics;

public class SoilThermalPropertiesTests
{
    // de Vries (1963) as tabulated in Moene and van Dam (2014), table 2.2, clay of porosity 0.4; the table leaves the
    // air in and rounds. Peat there is 0.1 solids.
    [Theory]
    [InlineData(0.6, 0, 0, 1.43)]
    [InlineData(0.6, 0, 0.2, 2.27)]
    [InlineData(0.6, 0, 0.4, 3.10)]
    [InlineData(0, 0.1, 0, 0.25)]
    [InlineData(0, 0.1, 0.45, 2.13)]
    [InlineData(0, 0.1, 0.9, 4.01)]
    public void Heat_capacity_agrees_with_the_table(
        double mineral,
        double organic,
        double water,
        double mj
    ) => Check.Near(mj, HeatCapacityJM3K(mineral, organic, water) / 1e6, 0.01);

    [Fact]
    public void Heat_capacity_of_a_mixture() =>
        Check.Near(2.3595e6, HeatCapacityJM3K(0.55, 0, 0.25), 1);

    // Johansen's scheme, recomputed by hand from the equations in Peters-Lidard et al. (1998).
    [Theory]
    [InlineData(0.45, 0.4, 0, false, 0.2050)]
    [InlineData(0.45, 0.4, 0.5, false, 1.1307)]
    [InlineData(0.45, 0.4, 1, false, 1.5294)]
    [InlineData(0.40, 0.8, 0.3, true, 1.5547)]
    [InlineData(0.50, 0.1, 0.7, false, 1.1853)]
    public void Conductivity_of_known_soils(double n, double q, double s, bool coarse, double k) =>
        Check.Near(k, ConductivityJohansenWMK(n, q, s, coarse), 1e-4);

    // Moene and van Dam (2014), table 2.2: clay with 0.2 water 0.9, 0.4 water 1.4; sand with 0.2 water 2.1, 0.4 water 2.5.
    // Johansen is another model: within a third.
    [Theory]
    [InlineData(0.25, 0.5, false, 0.9)]
    [InlineData(0.25, 1, false, 1.4)]
    [InlineData(0.9, 0.5, true, 2.1)]
    [InlineData(0.9, 1, true, 2.5)]
    public void Conductivity_is_near_the_table(double q, double s, bool coarse, double k) =>
        Assert.InRange(ConductivityJohansenWMK(0.4, q, s, coarse), k / 1.34, k * 1.34);

    // Hillel (1982): α 5·10⁻⁷ m²/s. Ratios and lags of the waves at 2 and 4 inches follow, recomputed by hand.
    [Fact]
    public void Damping_depth_and_the_waves_at_2_and_4_inches()
    {
        var day = DampingDepthM(1, 2e6, 86400);
        var year = DampingDepthM(1, 2e6, 365.25 * 86400);
        Check.Near(0.11726, day, 1e-5);
        Check.Near(2.241, year, 1e-3);
        Check.Near(0.6484, Math.Exp(-0.0508 / day), 1e-4);
        Check.Near(0.4205, Math.Exp(-0.1016 / day), 1e-4);
        Check.Near(1.655, 0.0508 / day / (2 * Math.PI) * 24, 1e-3);
        Check.Near(3.309, 0.1016 / day / (2 * Math.PI) * 24, 1e-3);
        Check.Near(0.9557, Math.Exp(-0.1016 / year), 1e-4);
    }

    // Damping depths of the day that follow from the same table.
    [Theory]
    [InlineData(2.1, 2.12e6, 0.165)]
    [InlineData(0.9, 2.27e6, 0.104)]
    [InlineData(1.4, 3.10e6, 0.111)]
    [InlineData(0.50, 4.01e6, 0.059)]
    public void Damping_depth_of_tabulated_soils(double k, double c, double metres) =>
        Check.Near(metres, DampingDepthM(k, c, 86400), 1e-3);

    [Fact]
    public void Conductivity_rises_with_water_and_stays_between_dry_and_saturated() =>
        Gen.Select(Gen.Double[0.3, 0.6], Gen.Double[0, 1], Gen.Double[0, 0.99], Gen.Bool)
            .Sample(
                (n, q, s, coarse) =>
                {
                    var k = ConductivityJohansenWMK(n, q, s, coarse);
                    Assert.InRange(
                        k,
                        ConductivityJohansenWMK(n, q, 0, coarse),
                        ConductivityJohansenWMK(n, q, 1, coarse)
                    );
                    Assert.True(ConductivityJohansenWMK(n, q, s + 0.01, coarse) >= k);
                    Assert.InRange(k, 0.1, 5);
                }
            );

    [Fact]
    public void Unknown_in_is_unknown_out()
    {
        Assert.Equal(double.NaN, HeatCapacityJM3K(double.NaN, 0, 0.2));
        Assert.Equal(double.NaN, HeatCapacityJM3K(0.5, 0, double.NaN));
        Assert.Equal(double.NaN, ConductivityJohansenWMK(0.4, 0.4, double.NaN, false));
        Assert.Equal(double.NaN, ConductivityJohansenWMK(double.NaN, 0.4, 0.4, false));
    }

    [Fact]
    public void Percent_instead_of_a_fraction_and_more_than_full_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatCapacityJM3K(55, 0, 25));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatCapacityJM3K(0.6, 0.1, 0.4));
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            ConductivityJohansenWMK(45, 0.4, 1, false)
        );
    }
}
