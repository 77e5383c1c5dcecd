using TurfWatch.Benchmarks;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>
/// The kernel against the same equations written a second time without regard to speed (tests/TurfWatch.Benchmarks, Plain*.cs).
/// It shows that the arrangement for speed changes nothing; that the equations are right is the other tests' affair.
/// Whoever changes the physics changes both.
/// </summary>
public class SiteKernelPlainTests
{
    private const double Relative = 1e-9;

    public static TheoryData<GroundCover, Shade, bool, SoilTexture, int, int> Cases { get; } =
        new()
        {
            // cover, shade, irrigated, soil, site, first day of the year
            { GroundCover.Turf, Shade.Sun, true, SoilTexture.SandyLoam, 0, 150 },
            { GroundCover.Turf, Shade.Partial, false, SoilTexture.ClayLoam, 3, 60 },
            { GroundCover.Turf, Shade.Sun, false, SoilTexture.Loam, 5, 330 },
            { GroundCover.Turf, Shade.Full, true, SoilTexture.Clay, 10, 250 },
            { GroundCover.TallGrass, Shade.Sun, false, SoilTexture.Loam, 8, 80 },
            { GroundCover.TallGrass, Shade.Sun, false, SoilTexture.ClayLoam, 10, 300 },
            { GroundCover.BareSoil, Shade.Sun, false, SoilTexture.Sand, 5, 20 },
            { GroundCover.BareSoil, Shade.Sun, false, SoilTexture.Loam, 2, 180 },
            { GroundCover.Turf, Shade.Sun, false, SoilTexture.Loam, 5, 0 },
            { GroundCover.TallGrass, Shade.Sun, false, SoilTexture.SandyLoam, 5, 0 },
        };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Six_weeks_agree_with_the_plain_writing_of_the_same_equations(
        GroundCover cover,
        Shade shade,
        bool irrigated,
        SoilTexture texture,
        int place,
        int firstDay
    )
    {
        var site = BenchmarkWeather.Site(place);
        var surface = SurfaceParameters.For(
            new(CanopyState.Active, shade, irrigated, texture, irrigated),
            cover
        );
        var hours = SiteForcing.Make(site, BenchmarkWeather.Hours(45 * 24, place, firstDay));
        var kernel = new SiteKernel(surface, site.ElevationM, 10);
        var plain = new PlainSite(surface, site.ElevationM, 10);
        FirstGuess.Fill(kernel.State, site, surface, hours, firstDay);
        plain.State.CopyFrom(kernel.State);
        kernel.Load(kernel.State);
        for (var i = 0; i < hours.Length; i++)
        {
            kernel.Step(hours[i]);
            plain.Step(hours[i]);
            Same(plain.LeafC, kernel.LeafC, "leaves", i);
            Same(plain.WetShare, kernel.WetShare, "wet share", i);
            Same(plain.State, kernel.State, i);
        }
    }

    private static void Same(SiteKernelState plain, SiteKernelState kernel, int hour)
    {
        Same(plain.LeafWaterMm, kernel.LeafWaterMm, "leaf water", hour);
        Same(plain.DewMm, kernel.DewMm, "dew", hour);
        Same(plain.FrostMm, kernel.FrostMm, "frost", hour);
        Same(plain.SnowMm, kernel.SnowMm, "snow", hour);
        Same(plain.SnowDepthM, kernel.SnowDepthM, "depth of snow", hour);
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            Same(plain.SoilC[i], kernel.SoilC[i], $"soil layer {i}", hour);
            Same(plain.SoilIceMm[i], kernel.SoilIceMm[i], $"ice of layer {i}", hour);
        }

        for (var z = 0; z < SoilWater.Zones; z++)
        {
            Same(plain.SoilWaterMm[z], kernel.SoilWaterMm[z], $"water of zone {z}", hour);
        }
    }

    [Fact]
    public void The_cases_freeze_leaves_and_soil_and_bear_dew_and_snow()
    {
        bool dew = false,
            frost = false,
            ice = false,
            snow = false;
        foreach (var (_, _, _, _, place, firstDay) in Cases.Select(c => c.Data))
        {
            var weather = BenchmarkWeather.Hours(45 * 24, place, firstDay);
            var kernel = MadeWeather.Kernel(MadeWeather.Turf, weather);
            foreach (var hour in SiteForcing.Make(BenchmarkWeather.Site(place), weather))
            {
                kernel.Step(hour);
                dew |= kernel.State.DewMm > 0.02;
                frost |= kernel.State.FrostMm > 0.02;
                ice |= kernel.State.SoilIceMm[0] > 0.1;
                snow |= kernel.State.SnowMm > 1;
            }
        }

        Assert.True(
            dew && frost && ice && snow,
            $"dew {dew}, frost {frost}, ice {ice}, snow {snow}"
        );
    }

    // Near nought the difference counts, not the ratio.
    private static void Same(double plain, double kernel, string what, int hour) =>
        Assert.True(
            Math.Abs(plain - kernel) <= Relative * Math.Max(1, Math.Abs(plain)),
            $"{what} in hour {hour}: plainly {plain:R}, by the kernel {kernel:R}"
        );
}
