using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SoilWaterTests
{
    // FAO-56 eq. 82 by hand: TAW = 1000 (0.25 - 0.12) 0.15 = 19.5 mm for roots of 15 cm.
    private const double RootsM = 0.15;
    private const double TotalMm = 19.5;
    private static readonly SoilHydraulics Soil = new(0.4, 0.2, 0.12, 0.25, 0.46, 15.5, 1430);

    private static readonly SurfaceParameters Lawn = SurfaceParameters.For(
        new(CanopyState.Active, Shade.Sun, Irrigated: true, SoilTexture.Loam, WarmSeason: true),
        GroundCover.Turf
    ) with
    {
        Soil = Soil,
        RootDepthM = RootsM,
    };

    [Theory]
    [InlineData(0)]
    [InlineData(7.8)]
    [InlineData(9.75)]
    [InlineData(14.625)]
    [InlineData(19.5)]
    public void Available_share_is_what_is_left_of_TAW(double depletionMm) =>
        Assert.Equal(
            1 - (depletionMm / TotalMm),
            SoilWater.AvailableShare(Missing(depletionMm), Soil, RootsM),
            1e-12
        );

    // Turf in FAO-56 table 22: p 0.40 for cool-season grass, 0.50 for warm-season grass.
    [Fact]
    public void Turf_has_the_depletion_shares_of_FAO56()
    {
        Assert.Equal(0.50, Lawn.EasyWater);
        var cool = new SurfaceClass(CanopyState.Active, Shade.Sun, true, SoilTexture.Loam, false);
        Assert.Equal(0.40, SurfaceParameters.For(cool, GroundCover.Turf).EasyWater);
    }

    // FAO-56 eq. 84 by hand, K_s = (TAW - D_r)/((1 - p) TAW): RAW is 7.8 mm at p 0.40 and 9.75 mm at 0.50.
    [Theory]
    [InlineData(0.40, 0, 1)]
    [InlineData(0.40, 7.8, 1)]
    [InlineData(0.40, 13.65, 0.5)]
    [InlineData(0.40, 19.5, 0)]
    [InlineData(0.50, 9.75, 1)]
    [InlineData(0.50, 12.1875, 0.75)]
    [InlineData(0.50, 14.625, 0.5)]
    [InlineData(0.50, 19.5, 0)]
    public void Stress_begins_beyond_RAW_and_ends_at_wilting(
        double depletionShare,
        double depletionMm,
        double stress
    )
    {
        var available = SoilWater.AvailableShare(Missing(depletionMm), Soil, RootsM);
        Assert.Equal(stress, SoilWater.StressCoefficient(available, depletionShare), 1e-12);
    }

    // FAO-56 ch. 8: water when D_r reaches RAW (9.75 mm), and give D_r.
    [Theory]
    [InlineData(9.5, 4.5, 0)]
    [InlineData(10, 4.5, 10)]
    [InlineData(14.625, 4.5, 14.625)]
    [InlineData(14.625, 5, 0)]
    public void Watering_waits_for_RAW_and_gives_what_is_missing(
        double depletionMm,
        double solarHour,
        double given
    )
    {
        var kernel = new SiteKernel(Lawn, 300, 10);
        Array.Fill(kernel.State.SoilC, 18);
        Missing(depletionMm).CopyTo(kernel.State.SoilWaterMm, 0);
        kernel.Load(kernel.State);
        kernel.Step(
            new()
            {
                AirC = 18,
                VapourHPa = 15,
                WindMS = 1,
                LongwaveWM2 = 350,
                SolarHour = solarHour,
                Usable = true,
            }
        );
        Assert.Equal(given, kernel.IrrigationMm, 1e-9);
    }

    // Our own rule (judgement): the excess fades as exp(-t/d). Hourly steps, and water that rises and drains back, cost a tenth.
    [Fact]
    public void Loam_loses_its_excess_over_field_capacity_with_a_constant_of_a_day()
    {
        var loam = SoilHydraulics.Of(SoilTexture.Loam);
        var days = SoilWater.DrainDays(loam);
        Assert.Equal(1, days, 1e-12);
        double[] water = [.. SoilWater.DepthMm.Select(mm => mm * loam.FieldCapacity)];
        water[2] += 70;
        var drained = 0.0;
        for (var hour = 0; hour < 24; hour++)
        {
            drained += SoilWater.Move(water, loam, 0, days, 1.0 / 24);
        }

        var above = water.Sum() - (SoilWater.DepthMm.Sum() * loam.FieldCapacity);
        Assert.Equal(70, drained + above, 1e-9);
        Check.Close(70 * Math.Exp(-1), above, 0.1);
    }

    [Fact]
    public void Water_is_neither_made_nor_lost() =>
        Gen.Select(
                Gen.Double[0, 1].Array[SoilWater.Zones],
                Gen.Enum<SoilTexture>(),
                Gen.Double[0, 80],
                Gen.Double[0, 0.8],
                Gen.Double[0.05, 1]
            )
            .Sample(
                (shares, texture, inflow, used, roots) =>
                {
                    var soil = SoilHydraulics.Of(texture);
                    double[] water =
                    [
                        .. shares.Select(
                            (share, z) =>
                                SoilWater.DepthMm[z]
                                * (
                                    soil.WiltingPoint
                                    + (share * (soil.Porosity - soil.WiltingPoint))
                                )
                        ),
                    ];
                    var before = water.Sum();
                    SoilWater.Uptake(water, soil, SoilWater.Roots(roots), used);
                    Assert.Equal(before - used, water.Sum(), 1e-9);
                    var drainDays = SoilWater.DrainDays(soil);
                    var left = SoilWater.Move(water, soil, inflow, drainDays, 1.0 / 24);
                    Assert.True(left >= 0);
                    Assert.Equal(before - used + inflow, water.Sum() + left, 1e-9);
                }
            );

    [Fact]
    public void Roots_take_most_near_the_top_and_nothing_from_below_them()
    {
        double[] full = [.. SoilWater.DepthMm.Select(mm => mm * Soil.FieldCapacity)];
        var water = full.ToArray();
        SoilWater.Uptake(water, Soil, SoilWater.Roots(RootsM), 2);
        var taken = full.Zip(water, (before, after) => before - after).ToArray();
        Assert.Equal(0, taken[2]);
        Assert.True(taken[0] / SoilWater.DepthMm[0] > taken[1] / SoilWater.DepthMm[1]);
    }

    [Fact]
    public void A_drier_zone_draws_a_quarter_of_the_difference_in_a_day_from_the_one_below()
    {
        double[] water = [50 * 0.15, 250 * 0.25, 700 * 0.25];
        var left = SoilWater.Move(water, Soil, 0, 1, 1.0 / 24);
        Assert.Equal(0, left);
        Assert.Equal((50 * 0.15) + (0.10 * 50 / 4 / 24), water[0], 1e-12);
    }

    // The same share is missing from each part of the root zone: 5 cm of the first zone and 10 of 25 cm of the second.
    private static double[] Missing(double depletionMm)
    {
        var content = Soil.FieldCapacity - (depletionMm / (RootsM * 1000));
        return [.. SoilWater.DepthMm.Select(mm => mm * content)];
    }
}
