using CsCheck;
using SkiaSharp;
using TurfWatch.Core;
using TurfWatch.Mail.Charts;

namespace TurfWatch.Mail.Tests.Charts;

/// <summary>What the pictures show, dot by dot.</summary>
public sealed class ChartPainterTests
{
    private static readonly SKColor Blue = ChartInk.Strong[0];

    public static TheoryData<string> Ids =>
        [.. SampleCharts.Season(Picture.Today).Select(c => c.Id)];

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_chart_is_a_light_card_of_twice_the_dots_with_something_on_it(string id)
    {
        using var bitmap = Picture.Bitmap(Of(id));
        Assert.Equal((840, 528), (bitmap.Width, bitmap.Height));
        var dots = bitmap.Width * bitmap.Height;
        var light = bitmap.Count(ChartInk.Paper) + bitmap.Count(ChartInk.Ahead);
        Assert.InRange(light, dots / 2, dots * 97 / 100);
        Assert.InRange(bitmap.Count(Blue) + bitmap.Count(ChartInk.Strong[2]), 1_000, dots / 5);
        Assert.True(Picture.Near(bitmap.GetPixel(0, 264), ChartInk.Edge)); // a border of its own on any page
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Letters_are_drawn_with_the_font_that_is_shipped(string id)
    {
        using var with = Picture.Bitmap(Of(id));
        using var without = Picture.Bitmap(Of(id), ChartFonts.Shipped(0));
        // Left of the axis stand nothing but numbers, under it nothing but dates.
        var left = new SKRectI(4, 60, 50, 480);
        Assert.InRange(with.Count(ChartInk.Text, left), 60, 5_000);
        Assert.Equal(0, without.Count(ChartInk.Text, left));
        var foot = new SKRectI(100, 488, 836, 524);
        Assert.InRange(with.Count(ChartInk.Text, foot), 200, 10_000);
        Assert.Equal(0, without.Count(ChartInk.Text, foot));
    }

    [Fact]
    public void A_line_lies_where_its_values_are()
    {
        // 0 on the first ten days, 100 on the last ten: the lower left and the upper right.
        double[] values = [.. Enumerable.Repeat(0.0, 10), .. Enumerable.Repeat(100.0, 10)];
        using var bitmap = Picture.Bitmap(Picture.OneLine(QuantityKind.Percent, values));
        var (low, high) = (Rows(bitmap, 0.15), Rows(bitmap, 0.85));
        Assert.InRange(low, 440, 480);
        Assert.InRange(high, 50, 90);
    }

    [Fact]
    public void A_day_without_a_value_is_a_gap_not_a_zero()
    {
        double[] values =
        [
            .. Enumerable.Repeat(60.0, 8),
            .. Enumerable.Repeat(double.NaN, 4),
            .. Enumerable.Repeat(60.0, 8),
        ];
        using var bitmap = Picture.Bitmap(Picture.OneLine(QuantityKind.Percent, values));
        var middle = bitmap.Width / 2 + 20;
        Assert.Equal(0, bitmap.Count(Blue, new(middle - 20, 0, middle + 20, bitmap.Height)));
        Assert.InRange(bitmap.Count(Blue), 1_000, 20_000);
    }

    [Fact]
    public void The_same_chart_is_the_same_bytes_and_another_one_is_not()
    {
        var first = Picture.Png(Of("soil"));
        Assert.Equal(first, Picture.Png(Of("soil")));
        Assert.NotEqual(first, Picture.Png(SampleCharts.Soil(Picture.Today.PlusDays(1))));
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Names_hide_neither_one_another_nor_a_line(string id)
    {
        using var fonts = ChartFonts.Shipped();
        var drawing = Picture.Drawing(Of(id));
        var plot = new ChartPlot(drawing, ChartAxis.For(drawing), new(50, 40, 406, 232));
        var placer = new LabelPlacer(plot, ChartFonts.Size);
        var rooms = new List<SKRect>();
        for (var i = 0; i < drawing.Series.Length; i++)
        {
            if (
                drawing.Series[i].Style is SeriesStyle.Line or SeriesStyle.FaintLine
                && placer.ForLine(i, fonts.Strong.MeasureText(drawing.Series[i].Name), 0.5f)
                    is { } room
            )
            {
                Assert.True(plot.Area.Contains(room));
                Assert.DoesNotContain(rooms, r => r.IntersectsWith(room));
                rooms.Add(room);
                Assert.All(drawing.Series, s => Assert.False(Crosses(plot, s, room), s.Name));
            }
        }
    }

    [Fact]
    public void Any_numbers_at_all_can_be_drawn()
    {
        var value = Gen.OneOf(
            Gen.Double[-60, 60],
            Gen.Double[-1e6, 1e6],
            Gen.Const(0.0),
            Gen.Double.Special
        );
        var values = value.Array[1, 60];
        Gen.Select(
                values,
                values,
                Gen.Int[-400, 400],
                Gen.Enum<SeriesStyle>(),
                Gen.Enum<QuantityKind>()
            )
            .Sample(
                (a, b, shift, style, unit) =>
                {
                    var chart = Picture.OneLine(unit, a) with
                    {
                        Series =
                        [
                            new(
                                Phrase.Of($"one"),
                                style,
                                Picture.Today.PlusDays(shift),
                                [.. a],
                                [.. b]
                            ),
                            new(Phrase.Of($"two"), SeriesStyle.Line, Picture.Today, [.. b], []),
                        ],
                        Levels = [new(Phrase.Of($"level"), b[0])],
                    };
                    if (ChartDrawing.Of(chart, Picture.Say()) is { } drawing)
                    {
                        var axis = ChartAxis.For(drawing);
                        Assert.InRange(axis.Ticks.Count, 2, 9);
                        var hair = (axis.High - axis.Low) / 500;
                        Assert.All(
                            drawing.Series.SelectMany(s => s.Values).Where(float.IsFinite),
                            // A hair outside is less than a dot.
                            v => Assert.InRange(v, axis.Low - hair, axis.High + hair)
                        );
                        using var fonts = ChartFonts.Shipped();
                        using var bitmap = SKBitmap.Decode(new ChartPainter(fonts).Paint(drawing));
                        Assert.Equal(840, bitmap.Width);
                    }
                },
                iter: 60
            );
    }

    [Theory]
    [InlineData(-7.453e-47)]
    [InlineData(1e-40)]
    [InlineData(1e-8)]
    public void Values_that_hardly_differ_from_nothing_have_an_axis(double value)
    {
        var drawing = ChartDrawing.Of(
            Picture.OneLine(QuantityKind.Area, [value, 0]),
            Picture.Say()
        )!;
        Assert.InRange(ChartAxis.For(drawing).Ticks.Count, 2, 9);
    }

    [Fact]
    public void A_chart_of_nothing_known_is_not_drawn() =>
        Assert.Null(
            ChartDrawing.Of(
                Picture.OneLine(QuantityKind.Temperature, double.NaN, double.PositiveInfinity),
                Picture.Say()
            )
        );

    private static bool Crosses(ChartPlot plot, DrawnSeries series, SKRect room) =>
        series.Style is SeriesStyle.Line or SeriesStyle.FaintLine
        && series
            .Values.Select((v, day) => new SKPoint(plot.X(day), plot.Y(v)))
            .Any(p => room.Contains(p));

    /// <summary>The middle row of blue at a part of the picture's width.</summary>
    private static double Rows(SKBitmap bitmap, double part)
    {
        var x = (int)(part * bitmap.Width);
        var rows = Enumerable
            .Range(0, bitmap.Height)
            .Where(y => Picture.Near(bitmap.GetPixel(x, y), Blue))
            .ToList();
        Assert.NotEmpty(rows);
        return rows.Average();
    }

    private static Chart Of(string id) =>
        SampleCharts.Season(Picture.Today).Single(c => c.Id == id);
}
