using CsCheck;
using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>The soil column's first guess from the climate of the place.</summary>
public sealed class ClimateStartTests
{
    [Fact]
    public void The_first_harmonic_of_a_pure_wave_is_the_wave() =>
        Gen.Select(Gen.Double[-5, 28], Gen.Double[1, 20])
            .Sample(
                (mean, amplitude) =>
                {
                    var wave = AnnualWave.Of(MadeClimate.Wave(mean, amplitude))!.Value;
                    Assert.Equal(mean, wave.MeanC, 0.001);
                    // The mean over 15 days takes sin(7.5 ω)/(15 sin(ω/2)) of a wave of one year: 0.9972.
                    Assert.Equal(0.9972 * amplitude, wave.AmplitudeK, 0.001 * amplitude);
                    // Coldest on 20 January, so warmest half a year on.
                    Assert.Equal(20 + 182.6, wave.WarmestDay, 0.3);
                },
                iter: 20
            );

    [Fact]
    public void With_depth_the_wave_shrinks_and_lags_as_in_uniform_soil()
    {
        // Hillel (1982): exp(-z/D) and z/D rad; at the damping depth itself 1/e and a year/2π.
        var wave = new AnnualWave(10, 8, 200);
        Assert.Equal(18, wave.AtC(200, 0), 1e-9);
        Assert.Equal(10 + (8 / Math.E), wave.AtC(200 + (365.25 / (2 * Math.PI)), 2.2), 1e-9);
        // D = √(2 α/ω) = 2.241 m with α = 5.0e-7 m²/s, a moist loam's; ours is 2 % less.
        var damping = Math.Sqrt(2 * 5.0e-7 / (2 * Math.PI / (365.25 * 86400)));
        Assert.Equal(2.2, damping, 0.05);
    }

    [Fact]
    public void A_day_of_the_year_that_is_not_known_makes_no_wave()
    {
        var climate = MadeClimate.Wave() with
        {
            MeanC = [double.NaN, .. Enumerable.Repeat(10.0, 365)],
        };

        Assert.Null(AnnualWave.Of(climate));
    }

    [Fact]
    public void A_warmer_climate_starts_the_deep_soil_warmer_and_by_as_much() =>
        Gen.Select(Gen.Double[2, 20], Gen.Double[1, 8], Gen.Int[0, 300])
            .Sample(
                (mean, more, day) =>
                {
                    var cool = Deepest(MadeClimate.Wave(mean), day);
                    var warm = Deepest(MadeClimate.Wave(mean + more), day);

                    // The air of the first ten days is the same and holds the top; at depth e^(-z/0.5 m) of it is left.
                    Assert.InRange(warm - cool, 0.9 * more, more);
                },
                iter: 30
            );

    [Fact]
    public void The_climate_tells_a_month_of_weather_what_the_latitude_cannot()
    {
        // A place at 35° N as warm as one 20 degrees further south (a cold one would have snow, of which neither guess knows).
        // A run over three years is the truth.
        var weather = MadeWeather.Hours(3 * 365 * 24, mean: 25, yearly: 6);
        var truth = Run(weather, null).Conditions;
        var climate = MadeClimate.Wave(25, 6);
        var from = weather.HourEnd((2 * 365 * 24) + (60 * 24));
        var month = weather.Slice(from, from + Duration.FromDays(30));
        var with = Error(Run(month, climate).Conditions, truth);
        var without = Error(Run(month, null).Conditions, truth);

        Assert.True(with < without, $"{with} with the climate, {without} without");
    }

    [Fact]
    public void The_stated_error_shrinks_and_the_more_so_the_shorter_the_history()
    {
        var weather = MadeWeather.Hours(40 * 24);
        var with = Run(weather, MadeClimate.Wave()).Conditions.SoilTemperatureStdDevC;
        var without = Run(weather, null).Conditions.SoilTemperatureStdDevC;

        // The ensemble's own spread differs by a hair; before it begins the error is the model's and the guess's.
        for (var i = 0; i < 30 * 24; i++)
        {
            Assert.True(with[i] < without[i], $"hour {i}: {with[i]} and {without[i]}");
        }

        Assert.True(without[24] - with[24] > 3 * (without[25 * 24] - with[25 * 24]));
    }

    [Fact]
    public void A_state_from_an_earlier_run_is_not_called_better_for_a_climate_it_may_not_have_known()
    {
        var weather = MadeWeather.Hours(40 * 24);
        var kept = Run(weather.Slice(weather.FirstHourEnd, weather.HourEnd(20 * 24)), null);
        var with = Run(weather, MadeClimate.Wave(), kept.StateToKeep).Conditions;
        var without = Run(weather, null, kept.StateToKeep).Conditions;

        Assert.Equal(without.SoilTemperature10CmC, with.SoilTemperature10CmC);
        Assert.Equal(without.SoilTemperatureStdDevC, with.SoilTemperatureStdDevC);
    }

    private static SiteRun Run(
        WeatherSeries weather,
        PlaceClimate? climate,
        SiteState? carried = null
    ) =>
        SiteModel.Run(
            MadeWeather.Site,
            MadeWeather.Turf,
            weather,
            weather.LastHourEnd,
            carried,
            climate: climate
        );

    private static double Error(SiteConditions run, SiteConditions truth)
    {
        var offset = (int)(run.FirstHourEnd - truth.FirstHourEnd).TotalHours;
        return Enumerable
            .Range(5 * 24, 20 * 24)
            .Average(i =>
                Math.Abs(run.SoilTemperature10CmC[i] - truth.SoilTemperature10CmC[i + offset])
            );
    }

    private static double Deepest(PlaceClimate climate, int day)
    {
        var state = new SiteKernelState();
        var weather = MadeWeather.Hours(240, firstDay: day);
        FirstGuess.Fill(
            state,
            MadeWeather.Site,
            SurfaceParameters.For(MadeWeather.Turf, GroundCover.Turf),
            SiteForcing.Make(MadeWeather.Site, weather),
            day + 1,
            climate
        );
        return state.SoilC[^1];
    }
}
