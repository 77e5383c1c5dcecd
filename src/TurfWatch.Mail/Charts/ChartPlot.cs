using SkiaSharp;
using TurfWatch.Core;

namespace TurfWatch.Mail.Charts;

/// <summary>Where the days and values of a drawing lie on the picture.</summary>
/// <param name="area">The rectangle of the plot.</param>
internal sealed class ChartPlot(ChartDrawing drawing, ChartAxis axis, SKRect area)
{
    public ChartDrawing Drawing => drawing;

    public ChartAxis Axis => axis;

    public SKRect Area => area;

    public float DayWidth => area.Width / drawing.Days;

    /// <summary>The middle of a day.</summary>
    public float X(float day) => area.Left + (day + 0.5f) * DayWidth;

    public float Y(float value) =>
        area.Bottom - (value - axis.Low) / (axis.High - axis.Low) * area.Height;

    /// <summary>Runs of days without a gap.</summary>
    public static IEnumerable<(int From, int To)> Runs(DrawnSeries series)
    {
        for (int day = 0, from; day < series.Values.Length; day++)
        {
            if (!Known(series, day))
            {
                continue;
            }

            from = day;
            while (day + 1 < series.Values.Length && Known(series, day + 1))
            {
                day++;
            }

            yield return (from, day);
        }
    }

    public SKPath Line(DrawnSeries series)
    {
        var path = new SKPath();
        foreach (var (from, to) in Runs(series))
        {
            path.MoveTo(X(from), Y(series.Values[from]));
            for (var day = from + 1; day <= to; day++)
            {
                path.LineTo(X(day), Y(series.Values[day]));
            }

            if (from == to)
            {
                path.LineTo(X(from) + 0.5f, Y(series.Values[from]));
            }
        }

        return path;
    }

    public SKPath Band(DrawnSeries series)
    {
        var path = new SKPath();
        foreach (var (from, to) in Runs(series))
        {
            var (left, right) = (X(from) - DayWidth / 2, X(to) + DayWidth / 2);
            path.MoveTo(left, Y(series.Values[from]));
            for (var day = from; day <= to; day++)
            {
                path.LineTo(X(day), Y(series.Values[day]));
            }

            path.LineTo(right, Y(series.Values[to]));
            path.LineTo(right, Y(series.Low[to]));
            for (var day = to; day >= from; day--)
            {
                path.LineTo(X(day), Y(series.Low[day]));
            }

            path.LineTo(left, Y(series.Low[from]));
            path.Close();
        }

        return path;
    }

    /// <summary>The bars of one series; those of a day stand one upon the other.</summary>
    public IEnumerable<SKRect> Bars(DrawnSeries series)
    {
        var below = drawing
            .Series.TakeWhile(s => s != series)
            .Where(s => s.Style == SeriesStyle.Bars);
        var half = MathF.Max(1.5f, DayWidth * 0.4f);
        for (var day = 0; day < drawing.Days; day++)
        {
            var value = series.Values[day];
            if (float.IsFinite(value) && value != 0)
            {
                var foot = below.Sum(s => float.IsFinite(s.Values[day]) ? s.Values[day] : 0);
                yield return new(X(day) - half, Y(foot + value), X(day) + half, Y(foot));
            }
        }
    }

    private static bool Known(DrawnSeries series, int day) =>
        float.IsFinite(series.Values[day])
        && (series.Style != SeriesStyle.Band || float.IsFinite(series.Low[day]));
}
