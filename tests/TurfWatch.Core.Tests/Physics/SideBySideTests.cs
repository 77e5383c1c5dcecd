using System.Runtime.Intrinsics;
using TurfWatch.Benchmarks;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>Surfaces worked out side by side do not know of one another.</summary>
public class SideBySideTests
{
    private const int Hours = 30 * 24;

    [Theory]
    [InlineData(0)]
    [InlineData(330)]
    public void Surfaces_side_by_side_are_what_each_is_alone(int firstDay)
    {
        // Another surface and another place in every lane: one dewy and watered, one in the shade, one bare, one tall.
        var surfaces = new[]
        {
            Surface(GroundCover.Turf, Shade.Sun, true),
            Surface(GroundCover.Turf, Shade.Full, false),
            Surface(GroundCover.BareSoil, Shade.Sun, false),
            Surface(GroundCover.TallGrass, Shade.Partial, true),
        };
        var alone = new SiteKernel[SideBySide.Count];
        var beside = new SiteKernel[SideBySide.Count];
        var weather = new SiteHour[SideBySide.Count][];
        for (var lane = 0; lane < SideBySide.Count; lane++)
        {
            var site = BenchmarkWeather.Site(lane * 5);
            weather[lane] = SiteForcing.Make(
                site,
                BenchmarkWeather.Hours(Hours, lane * 5, firstDay)
            );
            alone[lane] = new(surfaces[lane], site.ElevationM, 10);
            beside[lane] = new(surfaces[lane], site.ElevationM, 10);
            FirstGuess.Fill(
                alone[lane].State,
                site,
                surfaces[lane],
                weather[lane],
                Math.Max(1, firstDay)
            );
            alone[lane].Load(alone[lane].State);
            beside[lane].Load(alone[lane].State);
        }

        for (var i = 0; i < Hours; i++)
        {
            SiteKernel.Step(beside, [.. weather.Select(w => w[i])]);
            for (var lane = 0; lane < SideBySide.Count; lane++)
            {
                alone[lane].Step(weather[lane][i]);
                Same(alone[lane].LeafC, beside[lane].LeafC);
                Same(alone[lane].WetShare, beside[lane].WetShare);
                Same(alone[lane].State.LeafWaterMm, beside[lane].State.LeafWaterMm);
                Same(alone[lane].State.SnowMm, beside[lane].State.SnowMm);
                for (var layer = 0; layer < SoilGrid.Layers; layer++)
                {
                    Same(alone[lane].State.SoilC[layer], beside[lane].State.SoilC[layer]);
                }

                for (var zone = 0; zone < SoilWater.Zones; zone++)
                {
                    Same(alone[lane].State.SoilWaterMm[zone], beside[lane].State.SoilWaterMm[zone]);
                }
            }
        }

        // Rounding of the exponentials is all that differs.
        static void Same(double expected, double actual) =>
            Assert.Equal(expected, actual, 1e-9 * Math.Max(1, Math.Abs(expected)));
    }

    [Fact]
    public void Exponential_and_logarithm_of_four_are_those_of_the_runtime()
    {
        var random = new Random(7);
        for (var i = 0; i < 100_000; i++)
        {
            var x = (random.NextDouble() - 0.5) * (i % 2 == 0 ? 1400 : 3);
            Assert.Equal(1, VectorMath.Exp(Vector256.Create(x))[i % 4] / Math.Exp(x), 1e-15);
            var y = Math.Exp(x);
            var error = VectorMath.Log(Vector256.Create(y))[i % 4] - Math.Log(y);
            // Powers of less than 1e-280 count as 0.
            var root = VectorMath.Pow(Vector256.Create(y), 1.0 / 3)[i % 4];
            Assert.Equal(y < 1e-280 ? 0 : 1, root / Math.Cbrt(y), 1e-12);
            Assert.True(Math.Abs(error) <= 3e-16 * Math.Max(1, Math.Abs(x)), $"ln {y:R}: {error}");
        }

        Assert.Equal(0, VectorMath.Pow(Vector256.Create(0.0), 0.55)[0]);
        Assert.True(double.IsNaN(VectorMath.Exp(Vector256.Create(double.NaN))[0]));
    }

    private static SurfaceParameters Surface(GroundCover cover, Shade shade, bool irrigated) =>
        SurfaceParameters.For(
            new(CanopyState.Active, shade, irrigated, SoilTexture.Loam, irrigated),
            cover
        );
}
