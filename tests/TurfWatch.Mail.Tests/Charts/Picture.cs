using SkiaSharp;
using TurfWatch.Core;
using TurfWatch.Mail.Charts;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail.Tests.Charts;

/// <summary>A drawn chart, read back by the drawing library's own PNG reader.</summary>
internal static class Picture
{
    public static readonly NodaTime.LocalDate Today = new(2026, 11, 21);

    public static PhraseFormatter Say(UnitSystem units = UnitSystem.UsCustomary) =>
        new(units, Samples.Town.Zone, Today);

    public static ChartDrawing Drawing(Chart chart, UnitSystem units = UnitSystem.UsCustomary) =>
        ChartDrawing.Of(chart, Say(units))!;

    public static byte[] Png(Chart chart, ChartFonts? letters = null)
    {
        using var fonts = letters ?? ChartFonts.Shipped();
        return new ChartPainter(fonts).Paint(Drawing(chart));
    }

    public static SKBitmap Bitmap(Chart chart, ChartFonts? fonts = null) =>
        SKBitmap.Decode(Png(chart, fonts));

    /// <summary>Number of dots whose color is near to another.</summary>
    public static int Count(this SKBitmap bitmap, SKColor color, SKRectI? within = null)
    {
        var area = within ?? new(0, 0, bitmap.Width, bitmap.Height);
        var count = 0;
        for (var y = area.Top; y < area.Bottom; y++)
        {
            for (var x = area.Left; x < area.Right; x++)
            {
                count += Near(bitmap.GetPixel(x, y), color) ? 1 : 0;
            }
        }

        return count;
    }

    public static bool Near(SKColor a, SKColor b) =>
        Math.Abs(a.Red - b.Red) + Math.Abs(a.Green - b.Green) + Math.Abs(a.Blue - b.Blue) < 24;

    /// <summary>A chart of one line.</summary>
    public static Chart OneLine(QuantityKind unit, params double[] values) =>
        new(
            "line",
            Phrase.Of($"Line"),
            unit,
            Today,
            [new(Phrase.Of($"it"), SeriesStyle.Line, Today.PlusDays(-20), [.. values], [])],
            [],
            []
        );
}
