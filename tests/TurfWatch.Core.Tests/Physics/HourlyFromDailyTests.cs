using CsCheck;
using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>
/// What goes in comes out: disaggregation must keep the daily figures, the first property asked of any such method (for
/// example Förster et al. 2016, Geosci. Model Dev. 9:2315).
/// </summary>
public sealed class HourlyFromDailyTests
{
    private static readonly LocalDate First = new(2025, 2, 26);
    private static readonly DateTimeZone Chicago = DateTimeZoneProviders.Tzdb["America/Chicago"];
    private static readonly DateTimeZone Kolkata = DateTimeZoneProviders.Tzdb["Asia/Kolkata"];

    private static readonly Gen<ClimateDay> AnyDay = Gen.Select(
        Gen.Double[-30, 35],
        Gen.Double[0.5, 25],
        Gen.Double[0.3, 0.7],
        Gen.OneOf(Gen.Const(0.0), Gen.Double[0.05, 90]),
        Gen.Double[-5, 25],
        Gen.Double[0.3, 15],
        Gen.Double[0.2, 32],
        (low, range, share, rain, drier, wind, sun) =>
            new ClimateDay(
                First,
                low + (share * range),
                low,
                low + range,
                rain,
                low + range - drier,
                wind,
                sun
            )
    );

    private static ClimateDay[] Dated(ClimateDay[] days) =>
        [.. days.Select((d, i) => d with { Date = First.PlusDays(i) })];

    private static Range Hours(WeatherSeries weather, DateTimeZone zone, LocalDate date) =>
        LocalDays.FirstHour(weather.FirstHourEnd, zone, date)..LocalDays.FirstHour(
            weather.FirstHourEnd,
            zone,
            date.PlusDays(1)
        );

    private static double Mean(ReadOnlySpan<double> values) => Sum(values) / values.Length;

    private static double Sum(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (var value in values)
        {
            sum += value;
        }

        return sum;
    }

    [Fact]
    public void The_days_figures_come_out_as_they_went_in() =>
        Gen.Select(AnyDay.Array[20], Gen.Double[-60, 62], Gen.Bool)
            .Sample(
                (made, latitude, east) =>
                {
                    var days = Dated(made);
                    var zone = east ? Kolkata : Chicago;
                    var weather = HourlyFromDaily.Make(latitude, east ? 80 : -90, zone, days);
                    foreach (var day in days)
                    {
                        var hours = Hours(weather, zone, day.Date);
                        var air = weather[WeatherColumn.AirTemperatureC][hours];
                        Assert.Equal(day.MinC, air.ToArray().Min(), 1e-9);
                        Assert.Equal(day.MaxC, air.ToArray().Max(), 1e-9);
                        Assert.Equal(day.MeanC, Mean(air), 1e-6);
                        Assert.Equal(
                            day.RainMm,
                            Sum(weather[WeatherColumn.PrecipitationMm][hours]),
                            1e-9
                        );
                        Assert.Equal(
                            day.WindMS,
                            Mean(weather[WeatherColumn.WindSpeedMS][hours]),
                            1e-9
                        );
                        Assert.Equal(
                            day.ShortwaveMJM2,
                            0.0036 * Sum(weather[WeatherColumn.ShortwaveWM2][hours]),
                            1e-9
                        );
                    }
                },
                iter: 400
            );

    [Fact]
    public void Air_is_never_more_than_saturated_and_nothing_is_negative() =>
        AnyDay
            .Array[12]
            .Sample(
                made =>
                {
                    var weather = HourlyFromDaily.Make(40, -90, Chicago, Dated(made));
                    for (var i = 0; i < weather.Count; i++)
                    {
                        Assert.True(
                            weather[WeatherColumn.DewPointC][i]
                                <= weather[WeatherColumn.AirTemperatureC][i]
                        );
                        Assert.True(weather[WeatherColumn.WindSpeedMS][i] > 0);
                        Assert.True(weather[WeatherColumn.ShortwaveWM2][i] >= 0);
                        Assert.True(weather[WeatherColumn.PrecipitationMm][i] >= 0);
                    }
                },
                iter: 60
            );

    [Fact]
    public void A_dew_point_under_the_nights_air_keeps_its_mean_of_equal_days()
    {
        var days = Dated([.. Enumerable.Repeat(new ClimateDay(First, 15, 8, 22, 0, 5, 2, 20), 5)]);
        var weather = HourlyFromDaily.Make(40, -90, Chicago, days);
        Assert.Equal(5, Mean(weather[WeatherColumn.DewPointC]), 1e-9);
    }

    [Fact]
    public void The_days_of_the_change_of_clocks_have_their_own_length()
    {
        // US summer time began on 9 March and ended on 2 November 2025.
        foreach (
            var (date, hours) in new[]
            {
                (new LocalDate(2025, 3, 9), 23),
                (new LocalDate(2025, 11, 2), 25),
                (new LocalDate(2025, 6, 1), 24),
            }
        )
        {
            var weather = HourlyFromDaily.Make(
                40,
                -90,
                Chicago,
                [new ClimateDay(date, 10, 4, 16, 5, 3, 3, 15)]
            );
            Assert.Equal(hours, weather.Count);
            Assert.Equal(10, Mean(weather[WeatherColumn.AirTemperatureC]), 1e-6);
            Assert.Equal(5, Sum(weather[WeatherColumn.PrecipitationMm]), 1e-9);
        }
    }

    [Fact]
    public void The_sun_shines_by_day_and_the_wind_blows_harder_then()
    {
        var weather = HourlyFromDaily.Make(
            40,
            -90,
            Chicago,
            [new ClimateDay(new(2025, 1, 15), 0, -5, 5, 0, -6, 3, 8)]
        );

        // At 90° W the clock is the sun's, but for the equation of time (-9 min).
        Assert.Equal(0, weather[WeatherColumn.ShortwaveWM2][5]);
        Assert.True(weather[WeatherColumn.ShortwaveWM2][12] > 200);
        Assert.True(
            weather[WeatherColumn.WindSpeedMS][13] > 1.8 * weather[WeatherColumn.WindSpeedMS][2]
        );
    }

    [Fact]
    public void Missing_columns_stay_missing()
    {
        var weather = HourlyFromDaily.Make(
            40,
            -90,
            Chicago,
            Dated([.. Enumerable.Repeat(new ClimateDay(First, 10, 5, 15, double.NaN), 3)])
        );
        Assert.Equal(72, weather.Count);
        foreach (
            var column in new[]
            {
                WeatherColumn.DewPointC,
                WeatherColumn.WindSpeedMS,
                WeatherColumn.ShortwaveWM2,
                WeatherColumn.PrecipitationMm,
            }
        )
        {
            Assert.All(weather[column].ToArray(), v => Assert.True(double.IsNaN(v)));
        }

        Assert.All(SiteForcing.Make(new(40, -90, 200), weather), h => Assert.True(h.Usable));
    }

    [Fact]
    public void Two_missing_days_are_bridged_and_three_are_not()
    {
        var days = Dated([
            .. Enumerable.Range(0, 12).Select(i => new ClimateDay(First, 10 + i, 5 + i, 15 + i, 0)),
        ]);
        foreach (var d in (int[])[2, 3, 6, 7, 8])
        {
            days[d] = new(days[d].Date, double.NaN, double.NaN, double.NaN, double.NaN);
        }

        var weather = HourlyFromDaily.Make(40, -90, Chicago, days);
        double[] Air(int d) =>
            weather[WeatherColumn.AirTemperatureC]
                [Hours(weather, Chicago, First.PlusDays(d))]
                .ToArray();
        Assert.Equal(7, Air(2).Min(), 1e-9);
        Assert.Equal(18, Air(3).Max(), 1e-9);
        Assert.All((int[])[6, 7, 8], d => Assert.All(Air(d), t => Assert.True(double.IsNaN(t))));
        Assert.Equal(HourKind.Missing, weather.Origins[(6 * 24) + 12].Kind);
    }

    [Fact]
    public void A_mean_outside_the_extremes_gives_way_to_them()
    {
        var weather = HourlyFromDaily.Make(
            40,
            -90,
            Chicago,
            [new ClimateDay(First, 40, 5, 15, 0), new ClimateDay(First.PlusDays(1), 9, 9, 9, 0)]
        );
        var air = weather[WeatherColumn.AirTemperatureC];
        Assert.Equal(5, air[..24].ToArray().Min(), 1e-9);
        Assert.Equal(15, air[..24].ToArray().Max(), 1e-9);
        Assert.All(air[24..].ToArray(), t => Assert.Equal(9, t));
    }

    [Fact]
    public void Days_out_of_order_are_refused()
    {
        var day = new ClimateDay(First, 10, 5, 15, 0);
        var error = Assert.Throws<ArgumentOutOfRangeException>(() =>
            HourlyFromDaily.Make(40, -90, Chicago, [day, day])
        );
        Assert.Contains("in order, each once", error.Message, StringComparison.Ordinal);
        Assert.Equal(0, HourlyFromDaily.Make(40, -90, Chicago, []).Count);
    }
}
