using SkiaSharp;
using TurfWatch.Core;

namespace TurfWatch.Mail.Charts;

/// <summary>Finds clear room for names beside their lines: a grid of the picture's points remembers what is drawn where.</summary>
internal sealed class LabelPlacer
{
    /// <summary>A name farther from its line than this could be taken for another's.</summary>
    private const float Farthest = 22;
    private const float Gap = 3;
    private const int TodayBit = 1 << 30;

    private readonly int[] _taken = new int[ChartPainter.Width * ChartPainter.Height];
    private readonly ChartPlot _plot;
    private readonly float _height;

    public LabelPlacer(ChartPlot plot, float letterHeight)
    {
        _plot = plot;
        _height = letterHeight;
        for (var i = 0; i < plot.Drawing.Series.Length; i++)
        {
            var series = plot.Drawing.Series[i];
            if (series.Style == SeriesStyle.Bars)
            {
                foreach (var bar in plot.Bars(series))
                {
                    Take(bar, ~0);
                }
            }
            else if (series.Style != SeriesStyle.Band)
            {
                TakeLine(series, 1 << (i % 30));
            }
        }

        foreach (var level in plot.Drawing.Levels)
        {
            var y = plot.Y(level.Value);
            Take(new(plot.Area.Left, y - 1, plot.Area.Right, y + 1), ~0);
        }

        var today = plot.X(plot.Drawing.Today) - plot.DayWidth / 2;
        Take(new(today - 1, plot.Area.Top, today + 1, plot.Area.Bottom), TodayBit);
    }

    /// <summary>Where the name of a level stands, on top of its line or under it: where it hides the least, for a level without its name says nothing.</summary>
    public SKRect ForLevel(DrawnLevel level, float width)
    {
        var y = _plot.Y(level.Value);
        var best = SKRect.Create(_plot.Area.Left + 4, y - Gap - _height, width, _height);
        var least = int.MaxValue;
        for (var x = best.Left; x + width < _plot.Area.Right - 2; x += 4)
        {
            foreach (var top in new[] { y - Gap - _height, y + Gap })
            {
                var room = SKRect.Create(x, top, width, _height);
                if (Hidden(room) is var hidden && hidden < least)
                {
                    (best, least) = (room, hidden);
                }
            }
        }

        Take(best, ~0);
        return best;
    }

    /// <summary>Where the name of a line can stand; null when there is no clear room beside it.</summary>
    /// <param name="prefer">The part of the way, from the left, near which it should stand.</param>
    public SKRect? ForLine(int index, float width, float prefer)
    {
        var series = _plot.Drawing.Series[index];
        var wish = _plot.Area.Left + prefer * _plot.Area.Width;
        var starts = Enumerable
            .Range(0, (int)MathF.Max(0, (_plot.Area.Width - width - 6) / 4))
            .Select(i => _plot.Area.Left + 3 + i * 4)
            .OrderBy(x => MathF.Abs(x + width / 2 - wish));
        foreach (var x in starts)
        {
            if (Span(series, x, x + width) is not { } span)
            {
                continue;
            }

            foreach (var top in new[] { span.Top - Gap - _height, span.Bottom + Gap })
            {
                var far = top < span.Top ? span.Middle - (top + _height) : top - span.Middle;
                if (
                    far <= Farthest
                    && Free(new(x, top, x + width, top + _height), 4, 1 << (index % 30)) is { } room
                )
                {
                    Take(room, ~0);
                    return room;
                }
            }
        }

        return null;
    }

    // Highest and lowest point of a line between two places, and its point in the middle; null when it has a gap there.
    private (float Top, float Bottom, float Middle)? Span(
        DrawnSeries series,
        float left,
        float right
    )
    {
        var (from, to) = (Day(left), Day(right));
        var (top, bottom) = (float.MaxValue, float.MinValue);
        for (var day = from; day <= to; day++)
        {
            var y = _plot.Y(series.Values[day]);
            if (!float.IsFinite(y))
            {
                return null;
            }

            (top, bottom) = (MathF.Min(top, y), MathF.Max(bottom, y));
        }

        return (top, bottom, _plot.Y(series.Values[Day((left + right) / 2)]));
    }

    private int Day(float x) =>
        Math.Clamp((int)((x - _plot.Area.Left) / _plot.DayWidth), 0, _plot.Drawing.Days - 1);

    private SKRect? Free(SKRect room, float around, int own)
    {
        if (room.Top < _plot.Area.Top || room.Bottom > _plot.Area.Bottom)
        {
            return null;
        }

        var wide = SKRect.Inflate(room, around, around);
        for (var y = (int)wide.Top; y <= wide.Bottom; y++)
        {
            for (var x = (int)wide.Left; x <= wide.Right; x++)
            {
                var inside = room.Contains(x, y);
                if ((At(x, y) & (inside ? ~0 : ~own)) != 0)
                {
                    return null;
                }
            }
        }

        return room;
    }

    // The line of today may run behind a name; other names and lines may not, if that can be helped.
    private int Hidden(SKRect room)
    {
        if (room.Top < _plot.Area.Top || room.Bottom > _plot.Area.Bottom)
        {
            return int.MaxValue - 1;
        }

        var hidden = 0;
        for (var y = (int)room.Top; y <= room.Bottom; y++)
        {
            for (var x = (int)room.Left; x <= room.Right; x++)
            {
                var bits = At(x, y);
                hidden +=
                    bits == TodayBit ? 1
                    : bits != 0 ? 4
                    : 0;
            }
        }

        return hidden;
    }

    private void TakeLine(DrawnSeries series, int bit)
    {
        foreach (var (from, to) in ChartPlot.Runs(series))
        {
            for (var day = from; day <= to; day++)
            {
                var a = new SKPoint(_plot.X(day), _plot.Y(series.Values[day]));
                var next = Math.Min(day + 1, to);
                var b = new SKPoint(_plot.X(next), _plot.Y(series.Values[next]));
                var steps = 1 + (int)SKPoint.Distance(a, b);
                for (var i = 0; i <= steps; i++)
                {
                    var (x, y) = (a.X + (b.X - a.X) * i / steps, a.Y + (b.Y - a.Y) * i / steps);
                    Take(new(x - 1, y - 1, x + 1, y + 1), bit);
                }
            }
        }
    }

    private void Take(SKRect room, int bits)
    {
        for (
            var y = Math.Max(0, (int)room.Top);
            y <= Math.Min(ChartPainter.Height - 1, room.Bottom);
            y++
        )
        {
            for (
                var x = Math.Max(0, (int)room.Left);
                x <= Math.Min(ChartPainter.Width - 1, room.Right);
                x++
            )
            {
                _taken[y * ChartPainter.Width + x] |= bits;
            }
        }
    }

    private int At(int x, int y) =>
        x < 0 || y < 0 || x >= ChartPainter.Width || y >= ChartPainter.Height
            ? 0
            : _taken[y * ChartPainter.Width + x];
}
