using SkiaSharp;
using TurfWatch.Core;

namespace TurfWatch.Mail.Charts;

/// <summary>
/// Draws a chart as a light card that reads on a light and on a dark page. The letters are sized for a phone, where
/// the picture is shown at about three quarters of its width. The same drawing gives the same bytes.
/// </summary>
internal sealed class ChartPainter(ChartFonts fonts)
{
    /// <summary>Width of the picture in the message [px]; it is drawn with twice as many dots.</summary>
    public const int Width = 420;

    /// <summary>Height of the picture in the message [px].</summary>
    public const int Height = 264;

    private const int Scale = 2;
    private const float Margin = 10;
    private const float Row = 22;
    private const float Swatch = 30;

    /// <summary>Not for two threads at once.</summary>
    public byte[] Paint(ChartDrawing drawing)
    {
        using var surface = SKSurface.Create(
            new SKImageInfo(Width * Scale, Height * Scale, SKColorType.Rgba8888, SKAlphaType.Opaque)
        );
        surface.Canvas.Scale(Scale);
        Paint(surface.Canvas, drawing);
        using var pixels = surface.PeekPixels();
        return IndexedPng.Encode(pixels);
    }

    private static IEnumerable<int> Lines(ChartDrawing drawing) =>
        Enumerable
            .Range(0, drawing.Series.Length)
            .Where(i => drawing.Series[i].Style is SeriesStyle.Line or SeriesStyle.FaintLine);

    // Strong lines and bars share one order of colors; bands and faint lines have theirs.
    private static int Order(ChartDrawing drawing, int index) =>
        drawing.Series.Take(index).Count(s => s.Style is SeriesStyle.Line or SeriesStyle.Bars);

    private static int LineOrder(ChartDrawing drawing, int index) =>
        drawing.Series.Take(index).Count(s => s.Style == SeriesStyle.Line);

    private void Paint(SKCanvas canvas, ChartDrawing drawing)
    {
        // Names of areas stand in the key; those of lines go there too when there is no clear room beside them.
        var keyed = Enumerable.Range(0, drawing.Series.Length).Except(Lines(drawing)).ToHashSet();
        ChartPlot plot;
        Dictionary<string, SKRect> labels;
        do
        {
            plot = Plot(drawing, KeyRows(drawing, keyed).Count);
        } while (!TryLabel(plot, keyed, out labels));

        canvas.Clear(ChartInk.Paper);
        Ground(canvas, plot);
        Bands(canvas, plot);
        Levels(canvas, plot);
        Strokes(canvas, plot);
        Today(canvas, plot);
        Key(canvas, drawing, keyed);
        Names(canvas, plot, labels);
        using var edge = Hairline(ChartInk.Edge, 1);
        canvas.DrawRect(0.5f, 0.5f, Width - 1, Height - 1, edge);
    }

    private ChartPlot Plot(ChartDrawing drawing, int keyRows)
    {
        var axis = ChartAxis.For(drawing);
        var left = Margin + axis.Ticks.Max(t => Wide(t.Text)) + 6;
        var top = Margin + (keyRows + 1) * Row;
        return new(drawing, axis, new(left, top, Width - Margin - 4, Height - Margin - Row));
    }

    private bool TryLabel(ChartPlot plot, HashSet<int> keyed, out Dictionary<string, SKRect> labels)
    {
        labels = [];
        var drawing = plot.Drawing;
        var placer = new LabelPlacer(plot, ChartFonts.Size);
        foreach (var level in drawing.Levels)
        {
            labels[Id(level)] = placer.ForLevel(level, Wide(level.Name));
        }

        var whole = true;
        foreach (var i in Lines(drawing).Where(i => !keyed.Contains(i)).ToList())
        {
            var series = drawing.Series[i];
            var prefer = series.Style == SeriesStyle.FaintLine ? 0.2f : 0.6f;
            if (placer.ForLine(i, Wide(series.Name, fonts.Strong), prefer) is { } room)
            {
                labels[Id(i)] = room;
            }
            else
            {
                whole = !keyed.Add(i) && whole;
            }
        }

        return whole;
    }

    private static string Id(int series) => $"series {series}";

    private static string Id(DrawnLevel level) => $"level {level.Name}";

    private void Ground(SKCanvas canvas, ChartPlot plot)
    {
        var area = plot.Area;
        var now = Math.Clamp(plot.X(plot.Drawing.Today) - plot.DayWidth / 2, area.Left, area.Right);
        using var ahead = new SKPaint { Color = ChartInk.Ahead };
        canvas.DrawRect(now, area.Top, area.Right - now, area.Height, ahead);
        using var grid = Hairline(ChartInk.Grid, 1);
        using var ink = Ink(ChartInk.Text);
        foreach (var tick in plot.Axis.Ticks)
        {
            var y = plot.Y(tick.At);
            canvas.DrawLine(area.Left, y, area.Right, y, grid);
            canvas.DrawText(tick.Text, area.Left - 6, y + 5, SKTextAlign.Right, fonts.Plain, ink);
        }

        canvas.DrawText(
            plot.Drawing.Unit,
            Margin,
            area.Top - 9,
            SKTextAlign.Left,
            fonts.Plain,
            ink
        );
        using var axis = Hairline(ChartInk.Faint, 1);
        canvas.DrawLine(area.Left, area.Bottom, area.Right, area.Bottom, axis);
        var free = float.MinValue;
        foreach (var tick in DayAxis.Ticks(plot.Drawing).OrderBy(t => t.At))
        {
            var x = plot.X(tick.At) - plot.DayWidth / 2;
            canvas.DrawLine(x, area.Bottom, x, area.Bottom + 5, axis);
            var half = Wide(tick.Text) / 2;
            var middle = Math.Min(x, Width - 4 - half);
            if (middle - half >= free)
            {
                canvas.DrawText(
                    tick.Text,
                    middle,
                    area.Bottom + 20,
                    SKTextAlign.Center,
                    fonts.Plain,
                    ink
                );
                free = middle + half + 8;
            }
        }
    }

    private static void Bands(SKCanvas canvas, ChartPlot plot)
    {
        var drawing = plot.Drawing;
        for (var i = 0; i < drawing.Series.Length; i++)
        {
            var series = drawing.Series[i];
            using var fill = ChartInk.Fill(series.Style, Order(drawing, i));
            if (series.Style == SeriesStyle.Band)
            {
                using var path = plot.Band(series);
                canvas.DrawPath(path, fill);
                using var rim = Hairline(ChartInk.Strong[0], 0.8f);
                canvas.DrawPath(path, rim);
            }
            else if (series.Style == SeriesStyle.Bars)
            {
                using var rim = Hairline(ChartInk.Color(series.Style, Order(drawing, i)), 0.8f);
                foreach (var bar in plot.Bars(series))
                {
                    canvas.DrawRect(bar, fill);
                    canvas.DrawRect(bar, rim);
                }
            }
        }
    }

    private static void Levels(SKCanvas canvas, ChartPlot plot)
    {
        using var stroke = Hairline(ChartInk.Level, 1.4f);
        using var dots = SKPathEffect.CreateDash([1.5f, 3], 0);
        stroke.PathEffect = dots;
        foreach (var level in plot.Drawing.Levels)
        {
            var y = plot.Y(level.Value);
            canvas.DrawLine(plot.Area.Left, y, plot.Area.Right, y, stroke);
        }
    }

    private static void Strokes(SKCanvas canvas, ChartPlot plot)
    {
        var drawing = plot.Drawing;
        // The strong ones on top.
        foreach (var i in Lines(drawing).OrderBy(i => drawing.Series[i].Style == SeriesStyle.Line))
        {
            var series = drawing.Series[i];
            using var path = plot.Line(series);
            using var stroke = ChartInk.Stroke(
                series.Style,
                Order(drawing, i),
                LineOrder(drawing, i)
            );
            canvas.DrawPath(path, stroke);
            stroke.PathEffect?.Dispose();
        }
    }

    private void Today(SKCanvas canvas, ChartPlot plot)
    {
        var area = plot.Area;
        var x = plot.X(plot.Drawing.Today) - plot.DayWidth / 2;
        if (x < area.Left || x > area.Right + 1)
        {
            return;
        }

        using var line = Hairline(ChartInk.Text, 1.4f);
        canvas.DrawLine(x, area.Top - 4, x, area.Bottom, line);
        using var ink = Ink(ChartInk.Text);
        var half = Wide("today") / 2;
        var from = Margin + Wide(plot.Drawing.Unit) + 8 + half;
        canvas.DrawText(
            "today",
            Math.Max(from, Math.Min(x, Width - Margin - half)),
            area.Top - 9,
            SKTextAlign.Center,
            fonts.Plain,
            ink
        );
    }

    private List<List<int>> KeyRows(ChartDrawing drawing, HashSet<int> keyed)
    {
        var rows = new List<List<int>>();
        var used = 0f;
        foreach (var i in keyed.Order())
        {
            var wide = Swatch + Wide(drawing.Series[i].Name) + 16;
            if (rows.Count == 0 || used + wide > Width - 2 * Margin + 16)
            {
                rows.Add([]);
                used = 0;
            }

            rows[^1].Add(i);
            used += wide;
        }

        return rows;
    }

    private void Key(SKCanvas canvas, ChartDrawing drawing, HashSet<int> keyed)
    {
        using var ink = Ink(ChartInk.Text);
        var y = Margin + Row / 2;
        foreach (var row in KeyRows(drawing, keyed))
        {
            var x = Margin;
            foreach (var i in row)
            {
                var series = drawing.Series[i];
                if (series.Style is SeriesStyle.Line or SeriesStyle.FaintLine)
                {
                    using var stroke = ChartInk.Stroke(
                        series.Style,
                        Order(drawing, i),
                        LineOrder(drawing, i)
                    );
                    canvas.DrawLine(x, y, x + Swatch - 6, y, stroke);
                    stroke.PathEffect?.Dispose();
                }
                else
                {
                    using var fill = ChartInk.Fill(series.Style, Order(drawing, i));
                    using var rim = Hairline(ChartInk.Color(series.Style, Order(drawing, i)), 1);
                    canvas.DrawRect(x, y - 6, Swatch - 8, 12, fill);
                    canvas.DrawRect(x, y - 6, Swatch - 8, 12, rim);
                }

                canvas.DrawText(series.Name, x + Swatch, y + 5, SKTextAlign.Left, fonts.Plain, ink);
                x += Swatch + Wide(series.Name) + 16;
            }

            y += Row;
        }
    }

    private void Names(SKCanvas canvas, ChartPlot plot, Dictionary<string, SKRect> labels)
    {
        var drawing = plot.Drawing;
        foreach (var level in drawing.Levels)
        {
            Name(canvas, level.Name, labels[Id(level)], fonts.Plain, ChartInk.Level);
        }

        foreach (var i in Lines(drawing))
        {
            if (labels.TryGetValue(Id(i), out var room))
            {
                var series = drawing.Series[i];
                var color = ChartInk.Color(series.Style, Order(drawing, i));
                Name(canvas, series.Name, room, fonts.Strong, color);
            }
        }
    }

    private static void Name(SKCanvas canvas, string text, SKRect room, SKFont font, SKColor color)
    {
        using var halo = Hairline(ChartInk.Paper, 4);
        halo.StrokeJoin = SKStrokeJoin.Round;
        using var ink = Ink(color);
        canvas.DrawText(text, room.Left, room.Bottom - 3, SKTextAlign.Left, font, halo);
        canvas.DrawText(text, room.Left, room.Bottom - 3, SKTextAlign.Left, font, ink);
    }

    private float Wide(string text, SKFont? font = null) => (font ?? fonts.Plain).MeasureText(text);

    private static SKPaint Ink(SKColor color) => new() { IsAntialias = true, Color = color };

    private static SKPaint Hairline(SKColor color, float width) =>
        new()
        {
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
            StrokeWidth = width,
            Color = color,
        };
}
