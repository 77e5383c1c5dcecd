using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SiteKernelTests
{
    private const double WinterDays = 60;

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Energy_closes_every_hour_of_a_year_with_frost_and_rain(bool irrigated)
    {
        var weather = MadeWeather.Hours(365 * 24, mean: 8, yearly: 14);
        var kernel = MadeWeather.Kernel(MadeWeather.Turf with { Irrigated = irrigated }, weather);
        double through = 0,
            stored = 0;
        foreach (var hour in SiteForcing.Make(MadeWeather.Site, weather))
        {
            kernel.Load(kernel.State);
            var before = kernel.HeatContent();
            kernel.Step(hour);
            var residual =
                kernel.NetRadiation
                - kernel.Sensible
                - kernel.Latent
                - kernel.SoilFlux
                - kernel.MeltFlux
                - kernel.SnowMeltFlux;
            Assert.True(
                Math.Abs(residual) <= 1e-6 * Math.Max(1, Math.Abs(kernel.NetRadiation)),
                $"{residual} W/m² of {kernel.NetRadiation} unaccounted for"
            );
            var gained = kernel.HeatContent() - before;
            through += Math.Abs(kernel.SoilFlux * 3600);
            stored += Math.Abs(gained - (kernel.SoilFlux * 3600));
        }

        Assert.True(stored <= 1e-6 * through, $"{stored} J/m² of {through} lost in the soil");
    }

    [Fact]
    public void Water_closes_over_a_year_with_frost_rain_and_sprinkler()
    {
        var weather = MadeWeather.Hours(365 * 24, mean: 10, yearly: 14);
        var kernel = MadeWeather.Kernel(MadeWeather.Turf with { Irrigated = true }, weather);
        double Held() =>
            kernel.State.SoilWaterMm.Sum()
            + kernel.State.LeafWaterMm
            + kernel.State.FrostMm
            + kernel.State.SnowMm;
        var start = Held();
        double given = 0,
            gone = 0,
            sprinkled = 0;
        foreach (var hour in SiteForcing.Make(MadeWeather.Site, weather))
        {
            kernel.Step(hour);
            given += hour.RainMm + kernel.IrrigationMm;
            sprinkled += kernel.IrrigationMm;
            gone +=
                kernel.LeafEvaporationMm
                + kernel.TranspirationMm
                + kernel.GroundEvaporationMm
                + kernel.SublimatedMm
                + kernel.DrainedMm;
        }

        Assert.True(sprinkled > 20, $"only {sprinkled} mm sprinkled");
        Assert.True(
            Math.Abs(Held() - start - given + gone) <= 1e-6 * given,
            $"{given} mm in, {gone} out, {Held() - start} kept"
        );
    }

    [Theory]
    [InlineData(1, 5)]
    [InlineData(2, 15)]
    [InlineData(1, 24)]
    public void Dew_keeps_within_the_bounds_measured_on_grass(double wind, double mean)
    {
        // Garratt and Segal (1988), Bound.-Layer Meteorol. 45:209: usually up to 0.06, at most 0.07 to 0.09 mm/h;
        // potential dew of a long clear night (Monteith 1957) about 0.8 mm.
        var weather = MadeWeather.Hours(
            10 * 24,
            mean: mean + 12,
            yearly: 12,
            dewPointBelowMinimum: -2,
            wind: wind,
            cloudPercent: 0,
            rainMm: 0
        );
        var kernel = MadeWeather.Kernel(MadeWeather.Turf, weather);
        double most = 0,
            night = 0,
            mostANight = 0;
        foreach (var hour in SiteForcing.Make(MadeWeather.Site, weather))
        {
            kernel.Step(hour);
            var dew = Math.Max(0, -kernel.LeafEvaporationMm);
            night = hour.ShortwaveWM2 > 50 ? 0 : night + dew;
            most = Math.Max(most, dew);
            mostANight = Math.Max(mostANight, night);
        }

        Assert.True(most <= 0.09, $"{most} mm/h");

        // Ritter et al. (2019), HESS 23:1179: 0.14 ± 0.12 mm a night on US grassland; one deviation below is the least.
        Assert.InRange(mostANight, 0.02, 0.8);
    }

    [Fact]
    public void A_dormant_lawn_transpires_nothing()
    {
        var weather = MadeWeather.Hours(60 * 24, firstDay: 150);
        var kernel = MadeWeather.Kernel(
            MadeWeather.Turf with
            {
                Canopy = CanopyState.Dormant,
            },
            weather
        );
        double transpired = 0;
        foreach (var hour in SiteForcing.Make(MadeWeather.Site, weather))
        {
            kernel.Step(hour);
            transpired += Math.Abs(kernel.TranspirationMm);
        }

        Assert.True(transpired < 1e-6, $"{transpired} mm");
    }

    [Fact]
    public void Frozen_soil_stays_at_zero_while_it_holds_both_ice_and_water()
    {
        var weather = MadeWeather.Hours((int)WinterDays * 24, mean: -5, yearly: 0, daily: 2);
        var kernel = MadeWeather.Kernel(MadeWeather.Turf, weather);
        var ice = 0.0;
        foreach (var hour in SiteForcing.Make(MadeWeather.Site, weather))
        {
            kernel.Step(hour);
            for (var i = 0; i < SoilGrid.Layers; i++)
            {
                Assert.True(kernel.State.SoilIceMm[i] <= 0 || kernel.State.SoilC[i] <= 1e-9);
            }

            ice = kernel.State.SoilIceMm.Sum();
        }

        Assert.True(ice > 5, $"{ice} mm of ice after a winter at -5 °C");
    }

    [Fact]
    public void The_inner_loop_uses_the_vapour_curves_of_Psychrometrics()
    {
        for (var t = -30.0; t <= 50; t += 0.5)
        {
            Func<double, double> curve =
                t >= 0
                    ? Psychrometrics.SaturationVapourPressureHPa
                    : Psychrometrics.SaturationVapourPressureIceHPa;
            Assert.Equal(curve(t), VapourCurve.Of(t, out var slope), 12);
            Check.Close((curve(t + 1e-4) - curve(t - 1e-4)) / 2e-4, slope, 1e-6);
        }
    }
}
