using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.OpenMeteo;
using Xunit;

namespace TurfWatch.Weather.Tests.OpenMeteo;

/// <summary>The traps of Open-Meteo's hourly answer. Valid times: its public documentation of the forecast API.</summary>
public sealed class OpenMeteoHoursTests
{
    private static readonly Instant First = Instant.FromUtc(2026, 3, 8, 5, 0);

    [Fact]
    public void A_value_of_the_moment_becomes_the_mean_of_the_hour_that_ends_there()
    {
        var hours = Read(OpenMeteoBody.Hourly(First, 4));

        Assert.Equal(First, hours.FirstHourEnd);
        Assert.Equal([10, 10.5, 11.5, 12.5], hours[WeatherColumn.AirTemperatureC].ToArray());
        Assert.Equal(50, hours[WeatherColumn.CloudCoverPercent][1]);
    }

    [Fact]
    public void Sums_means_and_maxima_of_the_preceding_hour_stay_with_it()
    {
        var hours = Read(OpenMeteoBody.Hourly(First, 4));

        Assert.Equal([0, 0, 1.4, 0], hours[WeatherColumn.PrecipitationMm].ToArray());
        Assert.Equal([0, 100, 200, 300], hours[WeatherColumn.ShortwaveWM2].ToArray());
        Assert.Equal(7, hours[WeatherColumn.WindGustMS][3]);
        Assert.Equal(40, hours[WeatherColumn.PrecipitationProbabilityPercent][3]);
    }

    [Fact]
    public void Null_is_missing_and_a_null_end_does_not_spoil_the_next_hour()
    {
        var hours = Read(
            OpenMeteoBody.Hourly(
                First,
                4,
                temperature: i => i == 1 ? "null" : "8.0",
                probability: _ => "null"
            )
        );

        Assert.Equal([8, double.NaN, 8, 8], hours[WeatherColumn.AirTemperatureC].ToArray());
        Assert.True(double.IsNaN(hours[WeatherColumn.PrecipitationProbabilityPercent][0]));
        Assert.Equal(HourKind.Analysed, hours.Origins[1].Kind);
    }

    [Fact]
    public void An_absent_variable_is_missing()
    {
        var hours = Read("""{"hourly":{"time":[1772946000],"temperature_2m":[4.5]}}""");

        Assert.Equal(4.5, hours[WeatherColumn.AirTemperatureC][0]);
        Assert.True(double.IsNaN(hours[WeatherColumn.ShortwaveWM2][0]));
    }

    [Fact]
    public void Hours_up_to_now_are_analysed_and_later_ones_forecast()
    {
        var hours = Read(OpenMeteoBody.Hourly(First, 4), First + Duration.FromMinutes(90));

        Assert.Equal(
            [HourKind.Analysed, HourKind.Analysed, HourKind.Forecast, HourKind.Forecast],
            hours.Origins.ToArray().Select(o => o.Kind)
        );
    }

    [Fact]
    public void A_variable_in_a_unit_that_we_did_not_ask_for_is_not_used()
    {
        var hours = Read(OpenMeteoBody.Hourly(First, 4, windUnit: "km/h"));

        Assert.True(double.IsNaN(hours[WeatherColumn.WindSpeedMS][2]));
        Assert.True(double.IsNaN(hours[WeatherColumn.WindGustMS][2]));
        Assert.Equal(5, hours[WeatherColumn.DewPointC][2]);
    }

    [Fact]
    public void An_array_of_another_length_is_not_used() =>
        Assert.True(
            double.IsNaN(
                Read(
                    """{"hourly":{"time":[1772946000,1772949600],"temperature_2m":[4.5,5],"precipitation":[1.0]}}"""
                )[WeatherColumn.PrecipitationMm][0]
            )
        );

    [Fact]
    public void An_absurd_value_is_missing() =>
        Assert.True(
            double.IsNaN(
                Read(OpenMeteoBody.Hourly(First, 3, shortwave: _ => "40000"))[
                    WeatherColumn.ShortwaveWM2
                ][1]
            )
        );

    // On 2026-03-08 the clocks of the United States went forward: an answer in local time would hold a 02:00 that never was.
    [Fact]
    public void A_day_with_a_change_of_the_clocks_has_24_hours_in_GMT()
    {
        var hours = Read(OpenMeteoBody.Hourly(Instant.FromUtc(2026, 3, 8, 1, 0), 24));

        Assert.Equal(24, hours.Count);
        Assert.Equal(Instant.FromUtc(2026, 3, 9, 0, 0), hours.LastHourEnd);
    }

    [Theory]
    [InlineData("""{"error":true,"reason":"No data is available for this location"}""")]
    [InlineData("""{"utc_offset_seconds":-21600,"hourly":{"time":[1772946000]}}""")]
    [InlineData("""{"hourly":{"time":[]}}""")]
    [InlineData("""{"hourly":{"time":[1772946001]}}""")]
    [InlineData("""{"hourly":{"time":[0,1772946000]}}""")]
    [InlineData("""{}""")]
    public void An_answer_that_cannot_be_right_is_refused(string body) =>
        Assert.Throws<FormatException>(() => Read(body));

    private static WeatherSeries Read(string body, Instant? now = null) =>
        OpenMeteoHours.Read(
            JsonSerializer.Deserialize(body, OpenMeteoJson.Default.OpenMeteoAnswer)!,
            now ?? First + Duration.FromDays(1)
        );
}
