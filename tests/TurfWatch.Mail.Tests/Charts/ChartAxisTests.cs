using TurfWatch.Core;
using TurfWatch.Mail.Charts;

namespace TurfWatch.Mail.Tests.Charts;

public sealed class ChartAxisTests
{
    [Theory]
    [InlineData(QuantityKind.Percent, 3, 87, "0 20 40 60 80 100")]
    [InlineData(QuantityKind.Temperature, 4.4, 26.6, "30 40 50 60 70 80")] // 39.9 to 79.9 °F
    [InlineData(QuantityKind.WaterDepth, 0, 6.2, "0.00 0.05 0.10 0.15 0.20 0.25")]
    [InlineData(QuantityKind.AreaRate, 0, 14.6, "0 1 2 3")]
    [InlineData(QuantityKind.Plain, 2, 2, "0.0 0.5 1.0 1.5 2.0")]
    [InlineData(QuantityKind.Plain, 0, 0, "0 1")]
    [InlineData(QuantityKind.TemperatureDifference, -3, 3, "-7.5 -5.0 -2.5 0.0 2.5 5.0 7.5")] // 5.4 °F
    public void An_axis_has_round_numbers_around_all_values(
        QuantityKind unit,
        double least,
        double most,
        string ticks
    ) =>
        Assert.Equal(
            ticks,
            string.Join(
                ' ',
                ChartAxis
                    .For(Picture.Drawing(Picture.OneLine(unit, least, most)))
                    .Ticks.Select(t => t.Text)
            )
        );

    [Fact]
    public void A_level_beyond_the_values_is_on_the_axis()
    {
        var chart = Picture.OneLine(QuantityKind.Percent, 10, 20) with
        {
            Levels = [new(Phrase.Of($"far"), 135)],
        };
        Assert.Equal("150", ChartAxis.For(Picture.Drawing(chart)).Ticks[^1].Text);
    }

    [Theory]
    [InlineData(90, UnitSystem.UsCustomary, "Nov 1,Nov 15,Dec 1,Dec 15,Jan 1,Jan 15")]
    [InlineData(30, UnitSystem.Metric, "1 Nov,8 Nov,15 Nov,22 Nov")]
    [InlineData(150, UnitSystem.Metric, "Nov,Dec,Jan,Feb,Mar")]
    [InlineData(366, UnitSystem.Metric, "Nov,Jan,Mar,May,Jul,Sep,Nov")]
    public void Days_are_marked_as_densely_as_there_is_room(
        int days,
        UnitSystem units,
        string marks
    )
    {
        var chart = Picture.OneLine(QuantityKind.Percent, [.. Enumerable.Repeat(50.0, days)]);
        var ticks = DayAxis.Ticks(Picture.Drawing(chart, units)).OrderBy(t => t.At);
        Assert.Equal(marks, string.Join(',', ticks.Select(t => t.Text)));
        Assert.Equal(0, ticks.First().At); // the sample begins on November 1
    }
}
