using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SnowTests
{
    private const double FusionJKg = 3.337e5;

    [Theory]
    // Sturm et al. (1997), J. Glaciol. 43:26, eq. 4, worked by hand; its two branches meet at 0.156 g/cm³.
    [InlineData(100, 0.0464)]
    [InlineData(155.9999, 0.059504)]
    [InlineData(156, 0.059118)]
    [InlineData(200, 0.06532)]
    [InlineData(300, 0.12597)]
    [InlineData(400, 0.25128)]
    [InlineData(600, 0.69588)]
    public void Conductivity_follows_the_regression_of_the_measurements(
        double kgM3,
        double expected
    ) => Assert.Equal(expected, Snow.ConductivityWMK(kgM3), 1e-5);

    [Theory]
    // Hedstrom and Pomeroy (1998): 67.92 + 51.25 exp(T/2.59) by hand.
    [InlineData(0, 119.17)]
    [InlineData(-2.59, 86.774)]
    [InlineData(-10, 68.998)]
    [InlineData(2, 119.17)]
    public void New_snow_is_lighter_the_colder_it_falls(double airC, double kgM3) =>
        Assert.Equal(kgM3, Snow.NewKgM3(airC), 1e-2);

    [Fact]
    public void Snow_settles_by_its_rate_towards_its_density()
    {
        // From 100 kg/m³, 1 % of the rest an hour: after a day 300 - 200·0.99^24 = 142.86.
        var density = 100.0;
        for (var h = 0; h < 24; h++)
        {
            density = Snow.SettledAfterHourKgM3(density);
        }

        Assert.Equal(300 - (200 * Math.Pow(0.99, 24)), density, 1e-9);
        Assert.Equal(450, Snow.SettledAfterHourKgM3(450));
    }

    [Fact]
    public void A_pack_melts_by_the_heat_that_its_water_needs()
    {
        // 20 mm of snow in mild air: all heat of melting over the days equals 20 kg/m² times the heat of fusion, less what
        // went into the air.
        var kernel = Kernel();
        kernel.State.SnowMm = 20;
        kernel.State.SnowDepthM = 0.08;
        double melt = 0,
            sublimated = 0;
        var hours = 0;
        while (kernel.State.SnowMm > 0 && hours < 1000)
        {
            kernel.Step(Hour(6, sun: hours % 24 is > 8 and < 16 ? 250 : 0));
            melt += kernel.SnowMeltFlux * 3600 / FusionJKg;
            sublimated += kernel.SublimatedMm;
            hours++;
        }

        Assert.InRange(hours, 12, 400);
        // The last trace and what the last hour could have melted beyond it.
        Assert.Equal(20 - sublimated, melt, 0.6);

        // Degree-day factors of open ground are 1.6 to 6 mm a day and kelvin (usual range, from memory, unverified).
        var perDayAndKelvin = 20 / (hours / 24.0) / 6;
        Assert.InRange(perDayAndKelvin, 1, 8);
    }

    [Fact]
    public void Under_snow_hard_cold_reaches_the_soil_slowly()
    {
        var bare = Kernel();
        var covered = Kernel();
        covered.State.SnowMm = 40;
        covered.State.SnowDepthM = 0.2;
        for (var h = 0; h < 72; h++)
        {
            bare.Step(Hour(-15));
            covered.Step(Hour(-15));
        }

        var (cold, warm) = (
            SoilGrid.FiveCm.Of(bare.State.SoilC),
            SoilGrid.FiveCm.Of(covered.State.SoilC)
        );
        Assert.True(cold < -2, $"bare ground at {cold} °C after three days at -15 °C");
        Assert.True(warm > -0.5, $"ground under 20 cm of snow at {warm} °C");
    }

    [Fact]
    public void Precipitation_below_freezing_lies_and_above_two_degrees_runs_in()
    {
        var cold = Kernel();
        var mild = Kernel();
        cold.Step(Hour(-3, rain: 5));
        mild.Step(Hour(4, rain: 5));
        Assert.InRange(cold.State.SnowMm, 4.9, 5.1);
        Assert.Equal(0, mild.State.SnowMm);
        Assert.Equal(1, cold.WetShare);
        Assert.True(cold.WetAtEnd);
        Assert.Equal(0.5, Snow.Share(1));
    }

    private static SiteKernel Kernel()
    {
        var surface = SurfaceParameters.For(MadeWeather.Turf, GroundCover.Turf);
        var kernel = new SiteKernel(surface, 300, 2);
        FirstGuess.Fill(kernel.State, MadeWeather.Site, surface, [Hour(2)], 30);
        Array.Fill(kernel.State.SoilC, 2);
        kernel.Load(kernel.State);
        return kernel;
    }

    private static SiteHour Hour(double airC, double sun = 0, double rain = 0) =>
        new()
        {
            AirC = airC,
            VapourHPa = 0.8 * Psychrometrics.SaturationVapourPressureHPa(airC),
            WindMS = 2,
            ShortwaveWM2 = sun,
            LongwaveWM2 = 0.85 * Radiation.BlackBodyWM2(airC + 273.15),
            RainMm = rain,
            SolarHour = 12,
            Usable = true,
        };
}
