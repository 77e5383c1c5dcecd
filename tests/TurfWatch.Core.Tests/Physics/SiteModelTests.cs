using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SiteModelTests
{
    private static readonly SurfaceClass Turf = MadeWeather.Turf;

    private static SiteRun Run(
        WeatherSeries weather,
        int nowHour,
        SiteState? carried = null,
        SurfaceClass? surface = null
    ) =>
        SiteModel.Run(
            MadeWeather.Site,
            surface ?? Turf,
            weather,
            weather.FirstHourEnd + Duration.FromHours(nowHour),
            carried
        );

    [Fact]
    public void A_run_that_goes_on_from_a_kept_state_finds_what_one_long_run_finds()
    {
        var weather = MadeWeather.Hours(100 * 24);
        var whole = Run(weather, 95 * 24);
        var first = Run(weather.Slice(weather.FirstHourEnd, weather.HourEnd(85 * 24)), 84 * 24);
        var kept = SiteState.Unpack(first.StateToKeep.Pack());
        Assert.Equal(weather.HourEnd((84 * 24) - 72), kept.ValidAt);

        var second = Run(weather, 95 * 24, kept).Conditions;
        Assert.Equal(kept.ValidAt + Duration.FromHours(1), second.FirstHourEnd);
        var offset = weather.Count - second.Count;
        for (var i = 0; i < second.Count; i++)
        {
            // The state is kept in single precision, which may tip a soil property's rounding.
            Assert.Equal(
                whole.Conditions.SoilTemperature10CmC[i + offset],
                second.SoilTemperature10CmC[i],
                2e-3
            );
            Assert.Equal(whole.Conditions.LeafWaterMm[i + offset], second.LeafWaterMm[i], 1e-3);
        }

        Assert.Equal(95, second.SpinUpDays, 0.1);
    }

    [Theory]
    [InlineData(20 * 24)]
    [InlineData(30 * 24)]
    [InlineData(40 * 24)]
    [InlineData(72)]
    [InlineData(10)]
    public void The_state_to_keep_is_the_same_without_the_rest_of_the_run(int nowHour)
    {
        var made = MadeWeather.Hours(30 * 24);
        var kept = Run(made, 9 * 24).StateToKeep;
        foreach (var weather in new[] { made, Blank(made, (12 * 24, 150)) })
        {
            foreach (var carried in new[] { null, kept })
            {
                var alone = SiteModel.StateToKeep(
                    MadeWeather.Site,
                    Turf,
                    weather,
                    weather.FirstHourEnd + Duration.FromHours(nowHour),
                    carried
                );
                Assert.Equal(Run(weather, nowHour, carried).StateToKeep.Pack(), alone.Pack());
            }
        }
    }

    [Fact]
    public void A_state_is_small_and_survives_packing()
    {
        var state = Run(MadeWeather.Hours(30 * 24), 20 * 24).StateToKeep;
        var bytes = state.Pack();
        Assert.InRange(bytes.Length, 50, 300);
        var back = SiteState.Unpack(bytes);
        Assert.Equal(state.ValidAt, back.ValidAt);
        for (var i = 0; i < state.SoilTemperaturesC.Count; i++)
        {
            Assert.Equal(state.SoilTemperaturesC[i], back.SoilTemperaturesC[i], 1e-5);
        }
    }

    [Fact]
    public void A_state_of_another_version_or_cut_short_is_refused_with_advice()
    {
        var bytes = Run(MadeWeather.Hours(10 * 24), 9 * 24).StateToKeep.Pack();
        Assert.Contains(
            "spin up afresh",
            Assert.Throws<FormatException>(() => SiteState.Unpack(bytes[..^4])).Message,
            StringComparison.Ordinal
        );
        bytes[0] = 99;
        Assert.Contains(
            "version 99",
            Assert.Throws<FormatException>(() => SiteState.Unpack(bytes)).Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void A_state_too_old_to_go_on_from_is_left_and_the_soil_guessed_afresh()
    {
        var old = Run(MadeWeather.Hours(10 * 24), 9 * 24).StateToKeep;
        var later = MadeWeather.Hours(10 * 24, firstDay: 60);
        var run = Run(later, 9 * 24, old);
        Assert.Equal(later.FirstHourEnd, run.Conditions.FirstHourEnd);
        Assert.Equal(9, run.Conditions.SpinUpDays, 0.1);
    }

    [Fact]
    public void Doubt_of_the_soil_is_wide_without_history_and_shrinks_with_it()
    {
        var doubt = Run(MadeWeather.Hours(90 * 24), 90 * 24).Conditions.SoilTemperatureStdDevC;
        Assert.True(doubt[0] > 3, $"{doubt[0]} °C at the start");
        Assert.True(doubt[30 * 24] < 0.6 * doubt[0]);
        Assert.True(doubt[85 * 24] < doubt[30 * 24]);
    }

    [Fact]
    public void Two_guesses_far_apart_meet_within_sixty_days()
    {
        // What spinning up for 60 days is for.
        var weather = MadeWeather.Hours(90 * 24);
        var a = MadeWeather.Kernel(Turf, weather);
        var b = MadeWeather.Kernel(Turf, weather);
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            b.State.SoilC[i] += 5;
        }

        var hours = SiteForcing.Make(MadeWeather.Site, weather);
        for (var i = 0; i < 60 * 24; i++)
        {
            a.Step(hours[i]);
            b.Step(hours[i]);
        }

        var apart = SoilGrid.TenCm.Of(b.State.SoilC) - SoilGrid.TenCm.Of(a.State.SoilC);
        Assert.InRange(apart, 0, 0.75);
    }

    [Fact]
    public void A_short_gap_is_bridged_and_a_long_one_left_open()
    {
        var weather = Blank(MadeWeather.Hours(40 * 24), (300, 4), (500, 30), (700, 60));
        var c = Run(weather, 40 * 24).Conditions;
        Assert.False(double.IsNaN(c.SoilTemperature5CmC[302]));
        Assert.False(double.IsNaN(c.SoilTemperature5CmC[515]));
        Assert.True(double.IsNaN(c.SoilTemperature5CmC[730]));
        Assert.True(double.IsNaN(c.WetChancePercent[730]));
        Assert.False(double.IsNaN(c.SoilTemperature5CmC[770]));
        Assert.Equal(1 - (94.0 / (40 * 24)), c.HistoryCoverage, 0.01);
    }

    [Fact]
    public void Missing_columns_are_derived()
    {
        var full = MadeWeather.Hours(90 * 24, cloudPercent: 0);
        var builder = new WeatherSeriesBuilder(full.FirstHourEnd, full.Count);
        builder.Lay(full);
        builder[WeatherColumn.CloudCoverPercent].Fill(double.NaN);
        builder[WeatherColumn.DewPointC].Fill(double.NaN);
        builder[WeatherColumn.WindSpeedMS].Fill(double.NaN);
        builder[WeatherColumn.PrecipitationMm].Fill(double.NaN);
        var with = Run(full, full.Count).Conditions.SoilTemperature10CmC;
        var without = Run(builder.Build(), full.Count).Conditions.SoilTemperature10CmC;
        var apart = 0.0;
        for (var i = 60 * 24; i < full.Count; i++)
        {
            apart += Math.Abs(with[i] - without[i]) / (30 * 24);
        }

        Assert.InRange(apart, 0, 3);
    }

    [Fact]
    public void Frost_and_not_dew_lies_on_a_freezing_night()
    {
        var weather = MadeWeather.Hours(
            10 * 24,
            mean: -4,
            yearly: 0,
            dewPointBelowMinimum: -3,
            wind: 0.8,
            cloudPercent: 0,
            rainMm: 0
        );
        var c = Run(weather, 10 * 24).Conditions;
        var night = Enumerable.Range(0, c.Count).Where(i => c.CanopyTemperatureC[i] < -3).ToArray();
        Assert.Contains(night, i => c.FrostMm[i] > 0.02);
        Assert.All(night.Where(i => i > 48), i => Assert.True(c.LeafWaterMm[i] < 0.02));
    }

    [Fact]
    public void The_chance_of_wet_grass_falls_smoothly_through_a_dew_morning()
    {
        var weather = MadeWeather.Hours(
            70 * 24,
            dewPointBelowMinimum: -2,
            wind: 1,
            cloudPercent: 10,
            rainMm: 0,
            firstDay: 100
        );
        var c = Run(weather, 66 * 24).Conditions;
        Assert.All(c.WetChancePercent, p => Assert.InRange(p, 0, 100));
        // Sunrise in mid-June at this place is at about 11 UTC.
        var morning = Enumerable.Range((67 * 24) + 10, 8).ToArray();
        Assert.True(c.WetChancePercent[morning[0]] > 80);
        Assert.True(c.WetChancePercent[morning[^1]] < 10);
        for (var i = 1; i < morning.Length; i++)
        {
            Assert.True(
                c.WetChancePercent[morning[i]] <= c.WetChancePercent[morning[i - 1]] + 1e-9
            );
        }

        Assert.Contains(morning, i => c.WetChancePercent[i] is > 10 and < 90);
    }

    [Fact]
    public void Watered_turf_is_cooler_than_parched_turf_in_a_hot_dry_month()
    {
        var weather = MadeWeather.Hours(
            90 * 24,
            mean: 20,
            dewPointBelowMinimum: 8,
            rainMm: 0,
            cloudPercent: 5,
            firstDay: 130
        );
        double Mean(SurfaceClass s) =>
            Run(weather, 90 * 24, null, s).Conditions.SoilTemperature10CmC[(60 * 24)..].Average();
        var (wet, dry) = (Mean(Turf with { Irrigated = true }), Mean(Turf));
        Assert.True(wet < dry - 1.5, $"watered {wet}, parched {dry}");
    }

    [Fact]
    public void Shade_cools_the_soil()
    {
        var weather = MadeWeather.Hours(60 * 24, firstDay: 150);
        double Mean(Shade s) =>
            Run(weather, 60 * 24, null, Turf with { Shade = s })
                .Conditions.SoilTemperature10CmC[(30 * 24)..]
                .Average();
        var (sun, partial, full) = (Mean(Shade.Sun), Mean(Shade.Partial), Mean(Shade.Full));
        Assert.True(sun > partial + 0.5 && partial > full + 0.5, $"{sun}, {partial}, {full}");
    }

    [Fact]
    public void The_same_input_gives_the_same_output_to_the_bit()
    {
        var weather = MadeWeather.Hours(20 * 24);
        Assert.Equal(
            Run(weather, 15 * 24).Conditions.WetChancePercent,
            Run(weather, 15 * 24).Conditions.WetChancePercent
        );
    }

    [Fact]
    public void Without_weather_the_run_is_empty_and_the_guess_is_kept()
    {
        var run = SiteModel.Run(MadeWeather.Site, Turf, WeatherSeries.Empty, MadeWeather.Start);
        Assert.Equal(0, run.Conditions.Count);
        Assert.Equal(0, run.StateToKeep.SpinUpDays);
    }

    [Fact]
    public void A_place_not_on_earth_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            SiteModel.Run(new(97, 0, 0), Turf, MadeWeather.Hours(24), MadeWeather.Start)
        );

    private static WeatherSeries Blank(WeatherSeries weather, params (int From, int Count)[] gaps)
    {
        var builder = new WeatherSeriesBuilder(weather.FirstHourEnd, weather.Count);
        builder.Lay(weather);
        foreach (var (from, count) in gaps)
        {
            foreach (var column in Enum.GetValues<WeatherColumn>())
            {
                builder[column].Slice(from, count).Fill(double.NaN);
            }
        }

        return builder.Build();
    }
}
