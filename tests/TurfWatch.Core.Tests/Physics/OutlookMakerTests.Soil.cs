using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <content>The soil of past years.</content>
public sealed partial class OutlookMakerTests
{
    [Fact]
    public void The_light_run_finds_what_the_model_finds()
    {
        var weather = MadeWeather.Hours(60 * 24, firstDay: 120);
        var found = SiteDaysOf.Conditions(
            SiteModel
                .Run(MadeWeather.Site, MadeWeather.Turf, weather, weather.LastHourEnd)
                .Conditions,
            MadePast.Zone
        );

        var run = new DailyRun(MadeWeather.Site, MadeWeather.Turf);
        var hours = SiteForcing.Make(MadeWeather.Site, weather).AsSpan();
        var state = new SiteKernelState();
        FirstGuess.Fill(state, MadeWeather.Site, run.Green, hours, 121);
        run.Load(state, CanopyState.Active);
        var days = SiteDays.Unknown(found.First, found.Count);
        int Hour(LocalDate d) => LocalDays.FirstHour(weather.FirstHourEnd, MadePast.Zone, d);
        run.Skip(hours[..Hour(days.First)]);
        for (var d = 0; d < days.Count; d++)
        {
            run.Day(hours[Hour(days.Date(d))..Hour(days.Date(d + 1))], days, d);
        }

        for (var d = 0; d < days.Count; d++)
        {
            Assert.Equal(found.Soil5CmC[d], days.Soil5CmC[d], 1e-6);
            Assert.Equal(found.Soil10CmC[d], days.Soil10CmC[d], 1e-6);
            Assert.Equal(found.AirMeanC[d], days.AirMeanC[d], 1e-9);
            Assert.Equal(found.AirMinC[d], days.AirMinC[d], 1e-9);
            Assert.Equal(found.AirMaxC[d], days.AirMaxC[d], 1e-9);
            Assert.Equal(found.RainMm[d], days.RainMm[d], 1e-9);
            Assert.Equal(found.Et0Mm[d], days.Et0Mm[d], 1e-6);
            Assert.Equal(found.ShortwaveMJM2[d], days.ShortwaveMJM2[d], 1e-6);
            Assert.Equal(found.WetHours[d], days.WetHours[d], 1e-6);
            Assert.Equal(found.AvailableWater[d], days.AvailableWater[d], 1e-6);
            Assert.Equal(found.HumidityPercent[d], days.HumidityPercent[d], 0.5);
        }
    }

    [Fact]
    public void Past_soil_does_not_ask_whether_the_lawn_is_green_today()
    {
        var dormant = PastSoil.Run(
            MadeWeather.Site,
            MadeWeather.Turf with
            {
                Canopy = CanopyState.Dormant,
            },
            MadePast.Zone,
            Ten
        );
        Assert.Equal(TenSoil.Soil10CmC, dormant.Soil10CmC);
    }

    [Fact]
    public void Usual_soil_is_late_against_the_air_as_conduction_makes_it()
    {
        // Hillel (1982): at 4 in, 5e-7 m²/s, the year's wave is 2.64 days late; the sun's wave, 24 days early, draws it forward a little.
        var usual = Make().UsualSoil10CmC;
        Assert.InRange(usual.IndexOf(usual.Max()) - 196, -6, 8);
        Assert.InRange(usual.IndexOf(usual.Min()) - 14, -6, 8);
    }
}
