using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail.Tests;

/// <summary>Conversions against NIST SP 811, appendix B (inch 25.4 mm, mile 1,609.344 m, pound 0.453 592 37 kg, °F = 1.8 °C + 32).</summary>
public sealed class QuantityTextTests
{
    [Theory]
    [InlineData(QuantityKind.Temperature, 0, "32 °F", "0 °C")]
    [InlineData(QuantityKind.Temperature, 12.78, "55 °F", "12.8 °C")]
    [InlineData(QuantityKind.Temperature, -40, "-40 °F", "-40 °C")]
    [InlineData(QuantityKind.Temperature, -17.8, "0 °F", "-17.8 °C")]
    [InlineData(QuantityKind.TemperatureDifference, 5, "9 °F", "5 °C")]
    [InlineData(QuantityKind.WaterDepth, 25.4, "1.0 inch", "25 mm")]
    [InlineData(QuantityKind.WaterDepth, 38.1, "1.5 inches", "38 mm")]
    [InlineData(QuantityKind.WaterDepth, 2.54, "0.10 inch", "2.5 mm")]
    [InlineData(QuantityKind.WaterDepth, 0.1, "under 0.01 inch", "0.1 mm")]
    [InlineData(QuantityKind.WaterDepth, 0, "0 inches", "0 mm")]
    [InlineData(QuantityKind.GrassHeight, 6.35, "2.5 inches", "6.5 cm")]
    [InlineData(QuantityKind.GrassHeight, 7.1, "2.75 inches", "7 cm")]
    [InlineData(QuantityKind.GrassHeight, 8.5725, "3.5 inches", "8.5 cm")]
    // What an owner sets is told as it was set: 3 3/8, 2 1/2 and 7/8 in; 6.3 cm.
    [InlineData(QuantityKind.CutHeight, 8.5725, "3.375 inches", "8.5 cm")]
    [InlineData(QuantityKind.CutHeight, 6.35, "2.5 inches", "6.5 cm")]
    [InlineData(QuantityKind.CutHeight, 2.2225, "0.875 inch", "2 cm")]
    [InlineData(QuantityKind.CutHeight, 2.54, "1 inch", "2.5 cm")]
    [InlineData(QuantityKind.CutHeight, 6.3, "2.5 inches", "6.3 cm")]
    [InlineData(QuantityKind.CutHeight, 7.1, "2.75 inches", "7.1 cm")]
    [InlineData(QuantityKind.GrassHeight, 1.6, "0.6 inch", "1.6 cm")]
    [InlineData(QuantityKind.WindSpeed, 4.4704, "10 mph", "4.5 m/s")]
    [InlineData(QuantityKind.Percent, 9.6, "10%", "10%")]
    [InlineData(QuantityKind.Percent, 0.2, "under 1%", "under 1%")]
    [InlineData(QuantityKind.Area, 92.90304, "1,000 sq ft", "93 m²")]
    [InlineData(QuantityKind.AreaRate, 4.8824, "1 lb per 1,000 sq ft", "4.9 g/m²")]
    [InlineData(QuantityKind.Mass, 22.68, "50 lb", "22.7 kg")]
    [InlineData(QuantityKind.Mass, 2.7, "6 lb", "2.7 kg")]
    [InlineData(QuantityKind.Mass, 0.2268, "8 oz", "227 g")]
    [InlineData(QuantityKind.Mass, 0.02, "0.7 oz", "20 g")]
    [InlineData(QuantityKind.Mass, 0, "0 lb", "0 kg")]
    [InlineData(QuantityKind.Mass, 0.4536, "1 lb", "454 g")]
    [InlineData(QuantityKind.Mass, 500, "1,102 lb", "500 kg")]
    [InlineData(QuantityKind.AreaRate, 48.824, "10 lb per 1,000 sq ft", "48.8 g/m²")]
    [InlineData(QuantityKind.AreaRate, 3.66, "0.75 lb per 1,000 sq ft", "3.7 g/m²")]
    [InlineData(QuantityKind.AreaRate, 122.06, "25 lb per 1,000 sq ft", "122 g/m²")]
    [InlineData(QuantityKind.AreaRate, 0.02, "under 0.01 lb per 1,000 sq ft", "under 0.1 g/m²")]
    [InlineData(QuantityKind.AreaRate, 0, "0 lb per 1,000 sq ft", "0 g/m²")]
    [InlineData(QuantityKind.Hours, 1, "1 hour", "1 hour")]
    [InlineData(QuantityKind.Hours, 0.5, "30 minutes", "30 minutes")]
    [InlineData(QuantityKind.Hours, 0.98, "1 hour", "1 hour")]
    [InlineData(QuantityKind.Hours, 0.94, "55 minutes", "55 minutes")]
    [InlineData(QuantityKind.Hours, 2.5, "2.5 hours", "2.5 hours")]
    [InlineData(QuantityKind.Plain, -0.001, "0", "0")]
    [InlineData(QuantityKind.Temperature, double.NaN, "unknown", "unknown")]
    public void A_number_is_told_in_the_units_of_the_reader(
        QuantityKind kind,
        double value,
        string us,
        string metric
    )
    {
        Assert.Equal(us, Say(kind, value, UnitSystem.UsCustomary));
        Assert.Equal(metric, Say(kind, value, UnitSystem.Metric));
    }

    [Theory]
    [InlineData(QuantityKind.Temperature, 12.78, "55", "13")]
    [InlineData(QuantityKind.WaterDepth, 2.54, "0.10", "2.5")]
    [InlineData(QuantityKind.WaterDepth, 0.1, "<0.01", "0.1")]
    [InlineData(QuantityKind.WaterDepth, 0.04, "<0.01", "<0.1")]
    [InlineData(QuantityKind.WaterDepth, 0, "0", "0")]
    [InlineData(QuantityKind.WindSpeed, 4.4704, "10", "4")]
    [InlineData(QuantityKind.WindSpeed, double.NaN, "?", "?")]
    public void A_number_in_a_column_leaves_its_unit_to_the_head(
        QuantityKind kind,
        double value,
        string us,
        string metric
    )
    {
        Assert.Equal(us, QuantityText.Bare(kind, value, UnitSystem.UsCustomary));
        Assert.Equal(metric, QuantityText.Bare(kind, value, UnitSystem.Metric));
    }

    [Theory]
    [InlineData(20, 10, 30, "10:30 am", "10:30")]
    [InlineData(20, 12, 0, "noon", "12:00")]
    [InlineData(20, 15, 5, "3:05 pm", "15:05")]
    [InlineData(21, 7, 0, "7:00 am tomorrow", "07:00 tomorrow")]
    [InlineData(19, 19, 20, "7:20 pm yesterday", "19:20 yesterday")]
    [InlineData(23, 9, 0, "9:00 am Monday", "09:00 Monday")]
    [InlineData(30, 9, 0, "9:00 am Nov 30", "09:00 30 Nov")]
    public void A_moment_is_told_by_the_clock_on_the_wall(
        int day,
        int hour,
        int minute,
        string us,
        string metric
    )
    {
        var moment = Samples.At(hour, minute, day);
        Assert.Equal(us, Formatter(UnitSystem.UsCustomary).Moment(moment).Replace('\u00A0', ' '));
        Assert.Equal(metric, Formatter(UnitSystem.Metric).Moment(moment).Replace('\u00A0', ' '));
    }

    [Fact]
    public void Half_a_minute_belongs_to_the_next_minute_and_the_day_goes_with_it()
    {
        var say = Formatter(UnitSystem.Metric);
        var half = Duration.FromSeconds(30);
        Assert.Equal("09:41", say.Moment(Samples.At(9, 40, 20) + half));
        Assert.Equal("00:00 tomorrow", say.Moment(Samples.At(23, 59, 20) + half));
    }

    [Fact]
    public void The_hour_that_comes_twice_is_told_by_the_wall_both_times()
    {
        // 2026-11-01, America/Chicago: 01:30 at UTC-5, then again at UTC-6.
        var say = new PhraseFormatter(UnitSystem.UsCustomary, Samples.Town.Zone, new(2026, 11, 1));
        Assert.Equal(
            say.Moment(Instant.FromUtc(2026, 11, 1, 6, 30)),
            say.Moment(Instant.FromUtc(2026, 11, 1, 7, 30))
        );
    }

    private static string Say(QuantityKind kind, double value, UnitSystem units) =>
        QuantityText.Of(new(kind, value), units).Replace('\u00A0', ' ');

    private static PhraseFormatter Formatter(UnitSystem units) =>
        new(units, Samples.Town.Zone, new(2026, 11, 20));
}
