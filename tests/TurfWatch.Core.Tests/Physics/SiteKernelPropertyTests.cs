using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>Whatever the weather, the kernel stays finite and within bounds.</summary>
public class SiteKernelPropertyTests
{
    private static readonly Gen<SiteHour> AnyHour = Gen.Select(
        Gen.Double[-35, 48],
        Gen.Double[0.03, 1],
        Gen.Double[0, 25],
        Gen.Double[0, 1150],
        Gen.Double[0.55, 1.02],
        Gen.Select(Gen.Int[0, 5], Gen.Double[0, 40]),
        (air, humidity, wind, sun, sky, rain) =>
            new SiteHour
            {
                AirC = air,
                VapourHPa = humidity * Psychrometrics.SaturationVapourPressureHPa(air),
                WindMS = wind,
                ShortwaveWM2 = Math.Max(0, sun - 400),
                LongwaveWM2 = sky * Radiation.BlackBodyWM2(air + 273.15),
                RainMm = rain.Item1 == 0 ? rain.Item2 : 0,
                SolarHour = sun % 24,
                Usable = true,
            }
    );

    private static readonly Gen<(SurfaceClass, GroundCover)> AnySurface = Gen.Select(
        Gen.Enum<CanopyState>(),
        Gen.Enum<Shade>(),
        Gen.Bool,
        Gen.Enum<SoilTexture>(),
        Gen.Bool,
        Gen.Enum<GroundCover>(),
        (canopy, shade, irrigated, soil, warm, cover) =>
            (new SurfaceClass(canopy, shade, irrigated, soil, warm), cover)
    );

    [Fact]
    public void Any_weather_on_any_surface_leaves_a_state_within_bounds() =>
        Gen.Select(AnyHour.Array[60], AnySurface)
            .Sample(
                (hours, surface) =>
                {
                    var parameters = SurfaceParameters.For(surface.Item1, surface.Item2);
                    var kernel = new SiteKernel(parameters, 300, 10);
                    FirstGuess.Fill(kernel.State, MadeWeather.Site, parameters, hours, 100);
                    kernel.Load(kernel.State);
                    foreach (var hour in hours)
                    {
                        var soil = kernel.State.SoilC[0];
                        var sky =
                            Math.Pow(hour.LongwaveWM2 / Radiation.StefanBoltzmann, 0.25) - 273.15;
                        kernel.Step(hour);
                        var s = kernel.State;
                        // Between what it exchanges heat with: air, soil, sky; cooler by evaporation, warmer by sun.
                        var coldest = Math.Min(
                            Math.Min(hour.AirC, sky),
                            Math.Min(soil, s.SoilC[0])
                        );
                        var warmest = Math.Max(hour.AirC, Math.Max(soil, s.SoilC[0]));
                        Assert.InRange(kernel.LeafC, coldest - 30, warmest + 60);
                        Assert.All(s.SoilC, t => Assert.InRange(t, -60, 90));
                        Assert.InRange(s.LeafWaterMm, 0, parameters.LeafStoreMm + 1e-9);
                        Assert.InRange(s.FrostMm, 0, 5);
                        Assert.InRange(s.SnowMm, 0, 60 * 40);
                        Assert.InRange(
                            s.SnowDepthM,
                            s.SnowMm / 301,
                            (s.SnowMm / Snow.NewKgM3(-35)) + 1e-12
                        );
                        Assert.InRange(s.DewMm, 0, s.LeafWaterMm + 1e-12);
                        Assert.InRange(kernel.WetShare, 0, 1);
                        Assert.InRange(kernel.AvailableShare, 0, 1);
                        for (var z = 0; z < SoilWater.Zones; z++)
                        {
                            Assert.InRange(
                                s.SoilWaterMm[z] / SoilWater.DepthMm[z],
                                0,
                                parameters.Soil.Porosity + 0.05
                            );
                        }
                    }
                },
                iter: 300
            );
}
