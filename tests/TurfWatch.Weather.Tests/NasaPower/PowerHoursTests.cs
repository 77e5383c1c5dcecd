using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.NasaPower;
using Xunit;

namespace TurfWatch.Weather.Tests.NasaPower;

/// <summary>The traps of POWER's hourly answer, one by one.</summary>
public sealed class PowerHoursTests
{
    private static readonly LocalDate Day = new(2026, 3, 8);
    private static readonly Instant FirstEnd = Instant.FromUtc(2026, 3, 8, 1, 0);
    private static readonly Instant LastEnd = Instant.FromUtc(2026, 3, 9, 0, 0);

    // Stamps: the start of the hour (pvlib.iotools.get_nasa_power: "index corresponds to the start of the interval").
    [Fact]
    public void A_stamp_is_the_start_of_the_hour_and_becomes_its_end()
    {
        var hours = Read(PowerBody.Days(Day, Day, PowerBody.Usual));

        Assert.Equal(24, hours.Count);
        Assert.Equal(FirstEnd, hours.FirstHourEnd);
        Assert.Equal(10, hours[WeatherColumn.AirTemperatureC][0]); // the value stamped 2026030800
        Assert.Equal(33, hours[WeatherColumn.AirTemperatureC][23]); // stamped 2026030823
        Assert.Equal(HourKind.Analysed, hours.Origins[0].Kind);
        Assert.Equal("nasa-power", hours.Origins[0].Source);
    }

    [Fact]
    public void Every_parameter_reaches_its_column()
    {
        var hours = Read(PowerBody.Days(Day, Day, PowerBody.Usual));

        Assert.Equal(2, hours[WeatherColumn.DewPointC][2]);
        Assert.Equal(52, hours[WeatherColumn.RelativeHumidityPercent][2]);
        Assert.Equal(3, hours[WeatherColumn.WindSpeedMS][2]);
        Assert.Equal(2.5, hours[WeatherColumn.PrecipitationMm][2]);
        Assert.Equal(102, hours[WeatherColumn.ShortwaveWM2][2]);
        Assert.Equal(302, hours[WeatherColumn.LongwaveDownWM2][2]);
        Assert.Equal(22, hours[WeatherColumn.CloudCoverPercent][2]);
        Assert.True(double.IsNaN(hours[WeatherColumn.WindGustMS][2]));
        Assert.Equal(10, hours.WindHeightM);
    }

    [Theory]
    [InlineData(-999)]
    [InlineData(-99)]
    public void A_fill_value_is_missing_parameter_by_parameter(double fill)
    {
        var noon = Instant.FromUtc(2026, 3, 8, 12, 0);
        var hours = Read(
            PowerBody.Days(
                Day,
                Day,
                (name, hour) =>
                    name == "ALLSKY_SFC_SW_DWN" && hour >= noon || hour > noon
                        ? fill
                        : PowerBody.Usual(name, hour),
                fill
            )
        );

        Assert.Equal(22, hours[WeatherColumn.AirTemperatureC][12]);
        Assert.True(double.IsNaN(hours[WeatherColumn.ShortwaveWM2][12]));
        Assert.Equal(HourKind.Analysed, hours.Origins[12].Kind);
        Assert.True(double.IsNaN(hours[WeatherColumn.AirTemperatureC][13]));
        Assert.True(double.IsNaN(hours[WeatherColumn.PrecipitationMm][13]));
        Assert.Equal(HourKind.Missing, hours.Origins[13].Kind);
    }

    [Fact]
    public void The_usual_fill_value_is_missing_even_when_the_header_names_another() =>
        Assert.True(
            double.IsNaN(
                Read(PowerBody.Days(Day, Day, (_, _) => -999, fill: -99))[
                    WeatherColumn.AirTemperatureC
                ][5]
            )
        );

    [Theory]
    [InlineData("T2M", 3000, WeatherColumn.AirTemperatureC)]
    [InlineData("PRECTOTCORR", -0.1, WeatherColumn.PrecipitationMm)]
    [InlineData("ALLSKY_SFC_SW_DWN", 9000, WeatherColumn.ShortwaveWM2)]
    public void A_value_that_cannot_be_true_is_missing(
        string parameter,
        double absurd,
        WeatherColumn column
    )
    {
        var hours = Read(
            PowerBody.Days(
                Day,
                Day,
                (name, hour) => name == parameter ? absurd : PowerBody.Usual(name, hour)
            )
        );

        Assert.True(double.IsNaN(hours[column][5]));
        Assert.Equal(5, hours[WeatherColumn.DewPointC][5]);
    }

    // 1 MJ/m² in an hour is 1e6/3600 = 277.8 W/m².
    [Theory]
    [InlineData("W/m^2", 1, 1)]
    [InlineData("Wh/m^2", 1, 1)]
    [InlineData("MJ/hr", 0.36, 100)]
    [InlineData("kW-hr/m^2", 0.1, 100)]
    public void Radiation_is_read_by_its_unit(string unit, double given, double expected) =>
        Assert.Equal(
            expected,
            Read(
                PowerBody.Days(
                    Day,
                    Day,
                    (name, hour) =>
                        name.StartsWith("ALLSKY_SFC_SW", StringComparison.Ordinal)
                            ? given
                            : PowerBody.Usual(name, hour),
                    unit: (name, usual) =>
                        name.StartsWith("ALLSKY_SFC_SW", StringComparison.Ordinal) ? unit : usual
                )
            )[WeatherColumn.ShortwaveWM2][9],
            1e-9
        );

    [Fact]
    public void A_parameter_in_an_unknown_unit_is_not_used()
    {
        var hours = Read(
            PowerBody.Days(
                Day,
                Day,
                PowerBody.Usual,
                unit: (name, usual) => name == "WS10M" ? "knots" : usual
            )
        );

        Assert.True(double.IsNaN(hours[WeatherColumn.WindSpeedMS][5]));
        Assert.Equal(15, hours[WeatherColumn.AirTemperatureC][5]);
    }

    [Fact]
    public void Local_solar_time_is_refused() =>
        Assert.Throws<FormatException>(() =>
            Read(PowerBody.Days(Day, Day, PowerBody.Usual, timeStandard: "LST"))
        );

    [Theory]
    [InlineData("""{"type":"Feature"}""")]
    [InlineData("""{"properties":{"parameter":{"T2M":{"MARCH":1.0}}}}""")]
    public void Another_shape_is_refused(string body) =>
        Assert.Throws<FormatException>(() => Read(body));

    [Fact]
    public void A_missing_parameter_and_a_null_value_are_missing()
    {
        var hours = Read(
            """{"properties":{"parameter":{"T2M":{"2026030800":1.5,"2026030801":null},"RH2M":null}}}"""
        );

        Assert.Equal(1.5, hours[WeatherColumn.AirTemperatureC][0]);
        Assert.True(double.IsNaN(hours[WeatherColumn.AirTemperatureC][1]));
        Assert.True(double.IsNaN(hours[WeatherColumn.RelativeHumidityPercent][0]));
    }

    // ISO 2533: 6.5 K/km. A place 400 m above POWER's cell is 2.6 K colder.
    [Fact]
    public void Temperature_and_dew_point_are_brought_to_the_height_of_the_place()
    {
        var hours = Read(PowerBody.Days(Day, Day, PowerBody.Usual, elevationM: 200), 600);

        Assert.Equal(10 - 2.6, hours[WeatherColumn.AirTemperatureC][0], 1e-9);
        Assert.Equal(0 - 2.6, hours[WeatherColumn.DewPointC][0], 1e-9);
        Assert.Equal(50, hours[WeatherColumn.RelativeHumidityPercent][0]);
    }

    private static WeatherSeries Read(string body, double? elevationM = null) =>
        PowerHours.Read(
            JsonSerializer.Deserialize(body, PowerJson.Default.PowerAnswer)!,
            FirstEnd,
            LastEnd,
            elevationM
        );
}
