using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Nws;
using Xunit;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>From a station's reports to hours.</summary>
public sealed class StationHoursTests
{
    private static readonly Instant From = Instant.FromUtc(2026, 3, 1, 6, 0);
    private static readonly Instant To = Instant.FromUtc(2026, 3, 1, 12, 0);

    [Fact]
    public void A_report_belongs_to_the_nearest_hour_and_the_nearest_report_counts()
    {
        var hours = Read(
            Report("09:40", temperature: 1),
            Report("09:53", temperature: 2),
            Report("10:20", temperature: 3),
            Report("10:35", temperature: 4)
        );
        Assert.Equal(7, hours.Count);
        Assert.Equal(2, At(hours, WeatherColumn.AirTemperatureC, 10));
        Assert.Equal(4, At(hours, WeatherColumn.AirTemperatureC, 11));
        Assert.True(double.IsNaN(At(hours, WeatherColumn.AirTemperatureC, 12)));
        Assert.Equal(HourKind.Measured, hours.Origins[4].Kind);
        Assert.Equal(HourKind.Missing, hours.Origins[6].Kind);
    }

    [Fact]
    public void A_null_in_the_nearest_report_is_filled_from_the_next()
    {
        var hours = Read(
            Report("09:53") with
            {
                Dewpoint = new("wmoUnit:degC", null, "Z"),
                Temperature = new("wmoUnit:degC", 2, "V"),
            },
            Report("09:35") with
            {
                Dewpoint = new("wmoUnit:degC", -1, "V"),
            }
        );
        Assert.Equal(-1, At(hours, WeatherColumn.DewPointC, 10));
        Assert.Equal(2, At(hours, WeatherColumn.AirTemperatureC, 10));
    }

    [Theory]
    [InlineData("X", false)]
    [InlineData("qc:X", false)]
    [InlineData("B", false)]
    [InlineData("V", true)]
    [InlineData("qc:V", true)]
    [InlineData("Z", true)]
    [InlineData(null, true)]
    public void A_value_that_failed_its_check_is_not_used(string? flag, bool used)
    {
        var reports = new[]
        {
            Report("10:00", temperature: 7) with
            {
                Dewpoint = new("wmoUnit:degC", 3, flag),
            },
        };
        Assert.Equal(used, !double.IsNaN(At(Read(reports), WeatherColumn.DewPointC, 10)));
    }

    /// <summary>The same 2.54 mm (a tenth of an inch) as the service wrote it in 2021 and writes it since.</summary>
    [Theory]
    [InlineData("wmoUnit:m", 0.00254)]
    [InlineData("wmoUnit:mm", 2.54)]
    [InlineData("unit:m", 0.00254)]
    public void Rain_is_read_by_its_unit(string unit, double value)
    {
        var hours = Read(Report("09:53") with { PrecipitationLastHour = new(unit, value, "V") });
        Assert.Equal(2.54, At(hours, WeatherColumn.PrecipitationMm, 10), 1e-9);
    }

    [Fact]
    public void Rain_of_a_report_after_the_hour_is_only_part_of_the_next_and_null_is_not_zero()
    {
        var hours = Read(
            Report("10:05", temperature: 4) with
            {
                PrecipitationLastHour = new("wmoUnit:mm", 0.2, "V"),
            },
            Report("10:53", temperature: 4) with
            {
                PrecipitationLastHour = new("wmoUnit:mm", null, "Z"),
            }
        );
        Assert.True(double.IsNaN(At(hours, WeatherColumn.PrecipitationMm, 10)));
        Assert.True(double.IsNaN(At(hours, WeatherColumn.PrecipitationMm, 11)));
    }

    [Theory]
    [InlineData("wmoUnit:km_h-1", 18.0, 5.0)]
    [InlineData("unit:m_s-1", 5.0, 5.0)]
    [InlineData("wmoUnit:km_h-1", 804.67, double.NaN)]
    [InlineData("wmoUnit:furlong", 5.0, double.NaN)]
    public void Wind_is_read_by_its_unit_and_must_be_possible(
        string unit,
        double value,
        double expected
    )
    {
        var hours = Read(
            Report("10:00", temperature: 4) with
            {
                WindSpeed = new(unit, value, "V"),
            }
        );
        Assert.Equal(expected, At(hours, WeatherColumn.WindSpeedMS, 10), 1e-9);
    }

    [Theory]
    [InlineData("CLR", 0)]
    [InlineData("FEW", 18.75)]
    [InlineData("SCT", 43.75)]
    [InlineData("BKN", 75)]
    [InlineData("OVC", 100)]
    [InlineData("VV", 100)]
    [InlineData("FEW,BKN,SCT", 75)]
    [InlineData("", double.NaN)]
    [InlineData("???", double.NaN)]
    public void Cloud_is_the_densest_layer_and_no_layer_says_nothing(
        string layers,
        double expected
    ) =>
        Assert.Equal(
            expected,
            StationHours.CloudCoverPercent([
                .. layers
                    .Split(',', StringSplitOptions.RemoveEmptyEntries)
                    .Select(a => new CloudLayerShape(a)),
            ]),
            1e-9
        );

    [Fact]
    public void Reports_without_anything_usable_are_no_hours() =>
        Assert.Null(
            StationHours.Read(
                [
                    Report("10:00"),
                    Report("11:00", temperature: 999),
                    new(null, new("wmoUnit:degC", 1)),
                ],
                From,
                To
            )
        );

    [Fact]
    public void Reports_outside_the_span_are_left_out()
    {
        var hours = Read(
            Report("05:00", temperature: 1),
            Report("08:00", temperature: 2),
            Report("12:40", temperature: 3)
        );
        Assert.Equal(From, hours.FirstHourEnd);
        Assert.Equal(To, hours.LastHourEnd);
        Assert.Equal(
            2,
            Assert.Single(hours[WeatherColumn.AirTemperatureC].ToArray(), v => !double.IsNaN(v))
        );
    }

    private static WeatherSeries Read(params ObservationProperties[] reports) =>
        StationHours.Read(reports, From, To)!;

    private static ObservationProperties Report(string clock, double? temperature = null) =>
        new(
            DateTimeOffset.Parse($"2026-03-01T{clock}:00+00:00"),
            temperature is null ? null : new("wmoUnit:degC", temperature, "V")
        );

    private static double At(WeatherSeries hours, WeatherColumn column, int hourEnd) =>
        hours[column][hours.IndexOf(Instant.FromUtc(2026, 3, 1, hourEnd, 0))];
}
