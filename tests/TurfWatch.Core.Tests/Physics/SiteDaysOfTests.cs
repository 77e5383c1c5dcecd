using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public sealed class SiteDaysOfTests
{
    private static readonly DateTimeZone Chicago = DateTimeZoneProviders.Tzdb["America/Chicago"];

    private static SiteConditions Run(WeatherSeries weather) =>
        SiteModel.Run(MadeWeather.Site, MadeWeather.Turf, weather, weather.LastHourEnd).Conditions;

    [Fact]
    public void A_day_is_the_hours_between_its_midnights()
    {
        var site = Run(MadeWeather.Hours(10 * 24));
        var days = SiteDaysOf.Conditions(site, Chicago);

        // Hours begin at 0 UTC on 1 January 2024, 18 h of the evening before; that day is cut off, as is the last.
        Assert.Equal(new(2024, 1, 1), days.First);
        Assert.Equal(9, days.Count);
        var hours = (6 + 24)..(6 + 48);
        Assert.Equal(site.SoilTemperature10CmC[hours].Average(), days.Soil10CmC[1], 1e-12);
        Assert.Equal(site.SoilTemperature5CmC[hours].Average(), days.Soil5CmC[1], 1e-12);
        Assert.Equal(site.Et0Mm[hours].Sum(), days.Et0Mm[1], 1e-12);
        Assert.Equal(site.LeafWetnessPercent[hours].Sum() / 100, days.WetHours[1], 1e-12);
        Assert.Equal(site.AvailableWaterFraction[6 + 47], days.AvailableWater[1], 1e-12);
        var air = site.Weather[WeatherColumn.AirTemperatureC][hours].ToArray();
        Assert.Equal((air.Min(), air.Max()), (days.AirMinC[1], days.AirMaxC[1]));
        Assert.Equal(air.Average(), days.AirMeanC[1], 1e-12);

        // 100 W/m² all day are 8.64 MJ/m² (FAO-56, table 3: 1 MJ/m²/day = 11.6 W/m²).
        Assert.Equal(site.ShortwaveWM2[hours].Average() * 0.0864, days.ShortwaveMJM2[1], 1e-12);
    }

    [Fact]
    public void The_days_of_the_change_of_clocks_are_whole_too()
    {
        // From 25 February 2024 over 10 March, a day of 23 hours.
        var days = SiteDaysOf.Conditions(Run(MadeWeather.Hours(30 * 24, firstDay: 55)), Chicago);
        Assert.DoesNotContain(days.Soil10CmC, double.IsNaN);
        Assert.DoesNotContain(days.RainMm, double.IsNaN);
    }

    [Fact]
    public void A_column_known_for_fewer_than_twenty_hours_says_nothing_of_its_day()
    {
        var whole = MadeWeather.Hours(10 * 24);
        var builder = new WeatherSeriesBuilder(whole.FirstHourEnd, whole.Count);
        builder.Lay(whole);
        builder[WeatherColumn.PrecipitationMm][(6 + 24)..(6 + 29)].Fill(double.NaN);
        builder[WeatherColumn.PrecipitationMm][(6 + 48)..(6 + 52)].Fill(double.NaN);
        var days = SiteDaysOf.Conditions(Run(builder.Build()), Chicago);

        Assert.True(double.IsNaN(days.RainMm[1]));
        Assert.False(double.IsNaN(days.RainMm[2]));
        Assert.False(double.IsNaN(days.Soil10CmC[1]));
    }

    [Fact]
    public void No_hours_make_no_days()
    {
        Assert.Equal(0, SiteDaysOf.Conditions(Run(WeatherSeries.Empty), Chicago).Count);
        Assert.Equal(0, SiteDaysOf.Conditions(Run(MadeWeather.Hours(20)), Chicago).Count);
    }
}
