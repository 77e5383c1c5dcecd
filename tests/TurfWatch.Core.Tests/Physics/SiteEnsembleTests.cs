using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SiteEnsembleTests
{
    [Theory]
    [InlineData(0.25, 1)]
    [InlineData(0.5, 2)]
    [InlineData(1, 6)]
    public void Rain_falls_on_as_many_members_as_its_chance_says_and_keeps_its_mean(
        double chance,
        double meanMm
    )
    {
        for (var day = 0; day < 8; day++)
        {
            var rain = Enumerable
                .Range(0, SiteEnsemble.Members)
                .Select(m => SiteEnsemble.RainOf(m, day, meanMm, chance))
                .ToList();
            Assert.Equal(chance * SiteEnsemble.Members, rain.Count(mm => mm > 0), 1e-9);
            Assert.Equal(meanMm, rain.Average(), 1e-9);
        }
    }

    [Fact]
    public void A_chance_of_rain_without_an_amount_is_one_of_a_hundredth_of_an_inch()
    {
        // US National Weather Service: probability of precipitation is that of at least 0.01 in; 25.4 mm to the inch.
        Assert.Contains(
            Enumerable.Range(0, SiteEnsemble.Members),
            m => SiteEnsemble.RainOf(m, 0, 0, 0.5) == 0.254
        );
        Assert.Equal(0, SiteEnsemble.RainOf(0, 0, 0, 0));
    }

    [Theory]
    [InlineData(30)]
    [InlineData(70)]
    public void Forecast_rain_wets_the_grass_by_its_chance_and_measured_rain_for_certain(
        double chancePercent
    )
    {
        const int now = 20 * 24;
        var told = WithRain(now, 20, double.NaN).WetChancePercent;
        var unsure = WithRain(now, 20, chancePercent).WetChancePercent;
        // The rain falls in the afternoon of a dry and windy day: without it the grass is dry.
        Assert.Equal(100, told[now + 19], 1e-6);
        Assert.InRange(unsure[now + 19], chancePercent - 9, chancePercent + 9);
        Assert.Equal(100, WithRain(now + 24, 20, chancePercent).WetChancePercent[now + 19], 1e-6);
    }

    private static SiteConditions WithRain(int now, int rainHour, double chancePercent)
    {
        var made = MadeWeather.Hours(23 * 24, rainMm: 0, wind: 4, dewPointBelowMinimum: 8);
        var builder = new WeatherSeriesBuilder(made.FirstHourEnd, made.Count, made.WindHeightM);
        foreach (var column in Enum.GetValues<WeatherColumn>())
        {
            made[column].CopyTo(builder[column]);
        }

        for (var i = 0; i < made.Count; i++)
        {
            builder.Origins[i] = made.Origins[i];
        }

        for (var i = (20 * 24) + rainHour - 1; i < (20 * 24) + rainHour + 1; i++)
        {
            builder[WeatherColumn.PrecipitationMm][i] = 3;
            builder[WeatherColumn.PrecipitationProbabilityPercent][i] = chancePercent;
        }

        var weather = builder.Build();
        return SiteModel
            .Run(MadeWeather.Site, MadeWeather.Turf, weather, weather.HourEnd(now - 1))
            .Conditions;
    }
}
