using SkiaSharp;
using TurfWatch.Core;

namespace TurfWatch.Mail.Charts;

/// <summary>
/// Colors and patterns. The hues are those of Okabe and Ito's palette for all kinds of color vision (2008; from
/// memory, unverified), darkened until letters in them stand 4.5:1 against the card (WCAG 2.2, 1.4.3). Every
/// series also has a pattern of its own, so that nothing hangs on color alone.
/// </summary>
internal static class ChartInk
{
    public static readonly SKColor Paper = new(0xFF, 0xFF, 0xFF);
    public static readonly SKColor Ahead = new(0xF1, 0xF4, 0xEF);
    public static readonly SKColor Edge = new(0xB9, 0xC2, 0xB6);
    public static readonly SKColor Grid = new(0xDD, 0xE2, 0xDA);
    public static readonly SKColor Text = new(0x1C, 0x25, 0x21);
    public static readonly SKColor Faint = new(0x5B, 0x66, 0x60);
    public static readonly SKColor Level = new(0x7A, 0x2E, 0x6B);
    public static readonly SKColor Band = new(0x56, 0xB4, 0xE9);

    public static readonly SKColor[] Strong =
    [
        new(0x00, 0x72, 0xB2), // blue
        new(0xB4, 0x4E, 0x00), // vermilion
        new(0x00, 0x7D, 0x5B), // bluish green
        new(0x1C, 0x25, 0x21), // ink
    ];

    /// <summary>Dashes of the strong lines; none means unbroken.</summary>
    private static readonly float[][] Dashes =
    [
        [],
        [9, 4],
        [2, 3.5f],
        [10, 3, 2, 3],
    ];

    /// <param name="order">Which of the lines and bars it is.</param>
    public static SKColor Color(SeriesStyle style, int order) =>
        style switch
        {
            SeriesStyle.Band => Band,
            SeriesStyle.FaintLine => Faint,
            _ => Strong[order % Strong.Length],
        };

    /// <param name="order">Which of the colors it takes.</param>
    /// <param name="line">Which of the lines it is: the first is unbroken.</param>
    public static SKPaint Stroke(SeriesStyle style, int order, int line)
    {
        var faint = style == SeriesStyle.FaintLine;
        var dash = faint ? [5, 4] : Dashes[line % Dashes.Length];
        return new()
        {
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
            StrokeWidth = faint ? 1.6f : 2.8f,
            StrokeCap = dash.Length > 0 ? SKStrokeCap.Butt : SKStrokeCap.Round,
            StrokeJoin = SKStrokeJoin.Round,
            Color = Color(style, order),
            PathEffect = dash.Length > 0 ? SKPathEffect.CreateDash(dash, 0) : null,
        };
    }

    /// <summary>Bands are plain; the second kind of bars is striped, the third hollow.</summary>
    public static SKPaint Fill(SeriesStyle style, int order)
    {
        var color = Color(style, order);
        var paint = new SKPaint { IsAntialias = true, Color = color };
        if (style == SeriesStyle.Band)
        {
            paint.Color = color.WithAlpha(0x66);
        }
        else if (order % 3 == 1)
        {
            using var tile = Stripes(color);
            paint.Shader = SKShader.CreateBitmap(
                tile,
                SKShaderTileMode.Repeat,
                SKShaderTileMode.Repeat
            );
        }
        else if (order % 3 == 2)
        {
            paint.Style = SKPaintStyle.Stroke;
            paint.StrokeWidth = 1;
        }

        return paint;
    }

    private static SKBitmap Stripes(SKColor color)
    {
        var tile = new SKBitmap(4, 4);
        tile.Erase(SKColors.White);
        for (var i = 0; i < 4; i++)
        {
            tile.SetPixel(i, 3 - i, color);
            tile.SetPixel(i, (4 - i) % 4, color);
        }

        return tile;
    }
}
