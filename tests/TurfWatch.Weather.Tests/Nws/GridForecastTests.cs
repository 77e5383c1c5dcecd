using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Nws;
using Xunit;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>A gridpoint as hours.</summary>
public sealed class GridForecastTests
{
    private static readonly Instant Now = Instant.FromUtc(2026, 3, 1, 12, 0);

    [Fact]
    public void The_hour_from_six_to_seven_is_stamped_seven()
    {
        var hours = Read(GridBody.Usual());
        Assert.Equal(Instant.FromUtc(2026, 3, 1, 7, 0), hours.FirstHourEnd);
        Assert.Equal(48, hours.Count);
        Assert.Equal(10, hours.WindHeightM);
        // 10 °C from 06:00 to 18:00, so the hour that ends at 18:00 is the last of them.
        Assert.Equal(10, At(hours, WeatherColumn.AirTemperatureC, 18));
        Assert.Equal(15, At(hours, WeatherColumn.AirTemperatureC, 19));
    }

    [Fact]
    public void Speeds_come_in_metres_a_second()
    {
        var hours = Read(GridBody.Usual());
        Assert.Equal(5, At(hours, WeatherColumn.WindSpeedMS, 12), 1e-12);
        Assert.Equal(10, At(hours, WeatherColumn.WindGustMS, 12), 1e-12);
    }

    [Fact]
    public void Rain_is_a_total_that_is_split_and_beyond_its_last_hour_it_is_unknown_not_zero()
    {
        var hours = Read(GridBody.Usual());
        Assert.Equal(0, At(hours, WeatherColumn.PrecipitationMm, 9));
        Assert.Equal(0.5, At(hours, WeatherColumn.PrecipitationMm, 10));
        Assert.Equal(0.5, At(hours, WeatherColumn.PrecipitationMm, 15));
        Assert.True(double.IsNaN(At(hours, WeatherColumn.PrecipitationMm, 16)));
    }

    [Fact]
    public void Each_layer_ends_where_it_ends()
    {
        var hours = Read(GridBody.Usual());
        Assert.False(double.IsNaN(hours[WeatherColumn.AirTemperatureC][47]));
        Assert.Equal(71, hours[WeatherColumn.RelativeHumidityPercent][35]);
        Assert.True(double.IsNaN(hours[WeatherColumn.RelativeHumidityPercent][36]));
    }

    [Fact]
    public void Past_hours_are_analysed_and_the_others_forecast_all_issued_when_the_office_made_them()
    {
        var hours = Read(GridBody.Usual());
        var issued = Instant.FromUtc(2026, 3, 1, 11, 0);
        for (var i = 0; i < hours.Count; i++)
        {
            var kind = hours.HourEnd(i) <= Now ? HourKind.Analysed : HourKind.Forecast;
            Assert.Equal(new HourOrigin(kind, "nws", issued), hours.Origins[i]);
        }
    }

    [Theory]
    [InlineData("windGust", WeatherColumn.WindGustMS)]
    [InlineData("skyCover", WeatherColumn.CloudCoverPercent)]
    [InlineData("quantitativePrecipitation", WeatherColumn.PrecipitationMm)]
    [InlineData("probabilityOfPrecipitation", WeatherColumn.PrecipitationProbabilityPercent)]
    [InlineData("relativeHumidity", WeatherColumn.RelativeHumidityPercent)]
    [InlineData("dewpoint", WeatherColumn.DewPointC)]
    public void A_layer_that_is_not_there_leaves_its_column_missing(
        string layer,
        WeatherColumn column
    )
    {
        foreach (
            var body in new[]
            {
                GridBody.Usual().Without(layer),
                GridBody.Usual().Raw(layer, """{"values":[]}"""),
                GridBody
                    .Usual()
                    .Layer(layer, "wmoUnit:unheard_of", ("2026-03-01T06:00:00+00:00/P2D", 1)),
            }
        )
        {
            var hours = Read(body);
            Assert.Equal(48, hours.Count);
            Assert.All(hours[column].ToArray(), v => Assert.True(double.IsNaN(v)));
        }
    }

    [Fact]
    public void Without_temperature_or_any_humidity_there_is_no_forecast()
    {
        Assert.Throws<FormatException>(() => Read(GridBody.Usual().Without("temperature")));
        Assert.Throws<FormatException>(() =>
            Read(GridBody.Usual().Without("dewpoint").Without("relativeHumidity"))
        );
    }

    [Theory]
    [InlineData("temperature", "wmoUnit:degC", 4321.0, WeatherColumn.AirTemperatureC)]
    [InlineData("relativeHumidity", "wmoUnit:percent", -3.0, WeatherColumn.RelativeHumidityPercent)]
    [InlineData("windSpeed", "wmoUnit:km_h-1", 804.67, WeatherColumn.WindSpeedMS)]
    [InlineData("skyCover", "wmoUnit:percent", 400.0, WeatherColumn.CloudCoverPercent)]
    public void An_absurd_value_is_missing_and_told(
        string layer,
        string unit,
        double value,
        WeatherColumn column
    )
    {
        var body = GridBody
            .Usual()
            .Layer(
                layer,
                unit,
                ("2026-03-01T06:00:00+00:00/PT1H", value),
                ("2026-03-01T07:00:00+00:00/P2D", 30)
            );
        var grid = GridForecast.Read(body.Parsed(), Now);
        Assert.True(double.IsNaN(grid.Hours[column][0]));
        Assert.False(double.IsNaN(grid.Hours[column][1]));
        Assert.Contains(grid.Faults, f => f.Contains($"{column}", StringComparison.Ordinal));
    }

    [Fact]
    public void Humidity_a_little_over_saturation_is_saturation() =>
        Assert.Equal(
            100,
            Read(
                GridBody
                    .Usual()
                    .Layer(
                        "relativeHumidity",
                        "wmoUnit:percent",
                        ("2026-03-01T06:00:00+00:00/P2D", 100.4)
                    )
            )[WeatherColumn.RelativeHumidityPercent][0]
        );

    [Fact]
    public void A_null_value_leaves_its_hours_missing()
    {
        var hours = Read(
            GridBody
                .Usual()
                .Layer(
                    "dewpoint",
                    "wmoUnit:degC",
                    ("2026-03-01T06:00:00+00:00/PT2H", null),
                    ("2026-03-01T08:00:00+00:00/PT1H", 3)
                )
        );
        Assert.True(double.IsNaN(At(hours, WeatherColumn.DewPointC, 8)));
        Assert.Equal(3, At(hours, WeatherColumn.DewPointC, 9));
    }

    /// <summary>Clocks went back at 07:00 UTC on 7 November 2021 and forward at 08:00 UTC on 13 March 2022 in US Central time.</summary>
    [Theory]
    [InlineData("2021-11-07")]
    [InlineData("2022-03-13")]
    public void A_day_on_which_clocks_change_has_24_hours_in_utc(string day)
    {
        var body = new GridBody()
            .Layer(
                "temperature",
                "wmoUnit:degC",
                ($"{day}T00:00:00+00:00/PT8H", 4),
                ($"{day}T08:00:00+00:00/PT16H", 8)
            )
            .Layer("dewpoint", "wmoUnit:degC", ($"{day}T00:00:00+00:00/P1D", 1))
            .Layer("quantitativePrecipitation", "wmoUnit:mm", ($"{day}T06:00:00+00:00/PT6H", 6));
        var midnight = NodaTime.Text.InstantPattern.General.Parse($"{day}T00:00:00Z").Value;
        var hours = GridForecast.Read(body.Parsed(), midnight).Hours;
        Assert.Equal(24, hours.Count);
        Assert.Equal(midnight + Duration.FromHours(24), hours.LastHourEnd);
        Assert.All(hours[WeatherColumn.PrecipitationMm][6..12].ToArray(), v => Assert.Equal(1, v));
    }

    [Theory]
    [InlineData("""{"unitCode":7,"value":250}""")]
    [InlineData("""{"unitCode":"wmoUnit:m","value":"high"}""")]
    [InlineData("17")]
    public void A_height_of_another_shape_costs_the_height_only(string elevation)
    {
        var grid = GridForecast.Read(GridBody.Usual().Raw("elevation", elevation).Parsed(), Now);
        Assert.Null(grid.ElevationM);
        Assert.Equal(48, grid.Hours.Count);
    }

    [Theory]
    [InlineData("""{"coordinates":[[[null,1],[1,1],[1,0],[0,0]]]}""")]
    [InlineData("""{"coordinates":[[["-100","40"],[1,1],[1,0],[0,0]]]}""")]
    public void An_outline_of_another_shape_is_no_outline(string geometry)
    {
        using var parsed = JsonDocument.Parse(geometry);
        Assert.Null(GeoShape.Ring(parsed.RootElement));
    }

    [Fact]
    public void Hours_of_another_year_are_not_taken_for_now() =>
        Assert.Throws<FormatException>(() =>
            GridForecast.Read(GridBody.Usual().Parsed(), Now + Duration.FromDays(300))
        );

    private static WeatherSeries Read(GridBody body) => GridForecast.Read(body.Parsed(), Now).Hours;

    private static double At(WeatherSeries hours, WeatherColumn column, int hourEnd) =>
        hours[column][hours.IndexOf(Instant.FromUtc(2026, 3, 1, hourEnd, 0))];
}
