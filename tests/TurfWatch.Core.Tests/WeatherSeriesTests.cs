using CsCheck;
using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests;

public sealed class WeatherSeriesTests
{
    private static readonly Instant Start = Instant.FromUtc(2026, 3, 8, 5, 0);
    private static readonly HourOrigin Measured = new(HourKind.Measured, "station", Start);
    private static readonly HourOrigin Forecast = new(HourKind.Forecast, "grid", Start);

    private static WeatherSeries Series(int offsetHours, HourOrigin origin, params double[] air)
    {
        var builder = new WeatherSeriesBuilder(Start + Duration.FromHours(offsetHours), air.Length);
        air.CopyTo(builder[WeatherColumn.AirTemperatureC]);
        builder.Origins.Fill(origin);
        return builder.Build();
    }

    [Fact]
    public void A_value_that_was_never_written_is_missing_not_zero()
    {
        var series = new WeatherSeriesBuilder(Start, 3).Build();

        foreach (var column in Enum.GetValues<WeatherColumn>())
        {
            Assert.All(series[column].ToArray(), v => Assert.True(double.IsNaN(v)));
        }

        Assert.All(series.Origins.ToArray(), o => Assert.Equal(HourKind.Missing, o.Kind));
    }

    [Fact]
    public void Hours_must_end_on_the_hour()
    {
        var off = Assert.Throws<ArgumentOutOfRangeException>(() =>
            new WeatherSeriesBuilder(Start + Duration.FromMinutes(20), 1)
        );

        Assert.Contains(
            "2026-03-08T05:20:00Z is not on the hour",
            off.Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void The_upper_series_stands_where_it_has_a_value_and_the_lower_shows_through_elsewhere()
    {
        var upper = Series(1, Measured, 11, double.NaN, 13);
        var lower = Series(0, Forecast, 20, 21, 22, 23, 24);

        var merged = upper.Over(lower);

        Assert.Equal(Start, merged.FirstHourEnd);
        Assert.Equal([20, 11, 22, 13, 24], merged[WeatherColumn.AirTemperatureC].ToArray());
        Assert.Equal(HourKind.Forecast, merged.Origins[0].Kind);
        Assert.Equal(HourKind.Measured, merged.Origins[1].Kind);
    }

    [Fact]
    public void Two_series_apart_leave_a_gap_that_is_missing()
    {
        var merged = Series(0, Measured, 1).Over(Series(3, Forecast, 4));

        Assert.Equal(
            [1, double.NaN, double.NaN, 4],
            merged[WeatherColumn.AirTemperatureC].ToArray()
        );
        Assert.Equal(HourKind.Missing, merged.Origins[1].Kind);
    }

    [Fact]
    public void Merging_wind_of_two_heights_is_refused_with_both_heights()
    {
        var at2 = new WeatherSeriesBuilder(Start, 1, windHeightM: 2).Build();
        var at10 = new WeatherSeriesBuilder(Start, 1).Build();

        var error = Assert.Throws<ArgumentException>(() => at2.Over(at10));

        Assert.Contains("10 m", error.Message, StringComparison.Ordinal);
        Assert.Contains("2 m", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_slice_holds_the_hours_that_end_within_it() =>
        Gen.Select(Gen.Int[0, 48], Gen.Int[-10, 60], Gen.Int[-10, 60])
            .Sample(
                (count, from, to) =>
                {
                    var air = Enumerable.Range(0, count).Select(i => (double)i).ToArray();
                    var slice = Series(0, Measured, air)
                        .Slice(Start + Duration.FromHours(from), Start + Duration.FromHours(to));

                    var expected = air.Where((_, i) => i >= from && i <= to).ToArray();
                    Assert.Equal(expected, slice[WeatherColumn.AirTemperatureC].ToArray());
                }
            );

    [Fact]
    public void The_index_of_an_instant_is_the_hour_that_ends_at_or_after_it()
    {
        var series = Series(0, Measured, 1, 2, 3);

        Assert.Equal(0, series.IndexOf(Start));
        Assert.Equal(1, series.IndexOf(Start + Duration.FromMinutes(1)));
        Assert.Equal(1, series.IndexOf(Start + Duration.FromHours(1)));
    }
}
