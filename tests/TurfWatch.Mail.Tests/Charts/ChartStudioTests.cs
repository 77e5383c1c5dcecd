using TurfWatch.Core;
using TurfWatch.Mail.Charts;

namespace TurfWatch.Mail.Tests.Charts;

public sealed class ChartStudioTests
{
    [Fact]
    public void Lawns_that_share_a_chart_have_it_drawn_once()
    {
        using var fonts = ChartFonts.Shipped();
        var studio = new ChartStudio(new ChartPainter(fonts));
        var first = studio.Picture(SampleCharts.Soil(Picture.Today), Picture.Say());
        var again = studio.Picture(
            SampleCharts.Soil(Picture.Today) with
            {
                Title = Phrase.Of($"Another title, which is not in the picture"),
            },
            Picture.Say()
        );
        Assert.Same(first, again);
        Assert.Equal(1, studio.Drawn);
    }

    [Fact]
    public void Other_units_values_days_or_names_are_another_picture()
    {
        using var fonts = ChartFonts.Shipped();
        var studio = new ChartStudio(new ChartPainter(fonts));
        var chart = SampleCharts.Soil(Picture.Today);
        var line = chart.Series[2];
        Chart[] others =
        [
            SampleCharts.Soil(Picture.Today.PlusDays(1)),
            chart with
            {
                Series = chart.Series.SetItem(2, line with { Name = Phrase.Of($"This lawn") }),
            },
            chart with
            {
                Series = chart.Series.SetItem(
                    2,
                    line with
                    {
                        Values = line.Values.SetItem(30, line.Values[30] + 1),
                    }
                ),
            },
            chart with
            {
                Levels = [chart.Levels[0] with { Value = 13 }, chart.Levels[1]],
            },
            chart with
            {
                Today = chart.Today.PlusDays(-1),
            },
        ];
        var names = others
            .Append(chart)
            .Select(c => studio.Picture(c, Picture.Say())!.Name)
            .Append(studio.Picture(chart, Picture.Say(UnitSystem.Metric))!.Name);
        Assert.Distinct(names);
    }

    [Fact]
    public void Only_the_last_ones_are_kept()
    {
        using var fonts = ChartFonts.Shipped();
        var studio = new ChartStudio(new ChartPainter(fonts), keep: 2);
        Draw(0);
        Draw(1);
        Draw(0); // used again: now 1 is the oldest
        Draw(2);
        Draw(0);
        Assert.Equal(3, studio.Drawn);
        Draw(1);
        Assert.Equal(4, studio.Drawn);

        void Draw(int day) =>
            studio.Picture(SampleCharts.Soil(Picture.Today.PlusDays(day)), Picture.Say());
    }

    [Fact]
    public async Task Many_at_once_draw_each_chart_once_and_alike()
    {
        using var fonts = ChartFonts.Shipped();
        var studio = new ChartStudio(new ChartPainter(fonts));
        var pictures = await Task.WhenAll(
            Enumerable
                .Range(0, 12)
                .Select(i =>
                    Task.Run(() =>
                        studio.Picture(
                            SampleCharts.Soil(Picture.Today.PlusDays(i % 3)),
                            Picture.Say()
                        )!
                    )
                )
        );
        Assert.Equal(3, studio.Drawn);
        Assert.Equal(3, pictures.Select(p => Convert.ToHexString(p.Png)).Distinct().Count());
    }
}
