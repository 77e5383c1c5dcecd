using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Charts;

/// <summary>A mark on an axis.</summary>
internal readonly record struct Tick(float At, string Text);

/// <summary>The values' axis: round numbers around all that is drawn.</summary>
internal sealed record ChartAxis(float Low, float High, IReadOnlyList<Tick> Ticks)
{
    private static readonly float[] Steps = [1, 2, 2.5f, 5, 10];

    public static ChartAxis For(ChartDrawing drawing)
    {
        var values = drawing
            .Series.SelectMany(s => s.Values.Concat(s.Low))
            .Concat(drawing.Levels.Select(l => l.Value))
            .Where(float.IsFinite);
        if (drawing.Series.Any(s => s.Style == SeriesStyle.Bars))
        {
            values = values.Concat(StackTops(drawing)).Append(0);
        }

        var (low, high) = (values.Min(), values.Max());
        if (drawing.Kind == QuantityKind.Percent)
        {
            (low, high) = (Math.Min(0, low), Math.Max(100, high));
        }
        else if (
            drawing.Kind is not (QuantityKind.Temperature or QuantityKind.TemperatureDifference)
        )
        {
            low = Math.Min(0, low); // amounts begin at nothing
        }

        var step = Step(high - low);
        var first = MathF.Floor(low / step + 0.001f) * step;
        var last = MathF.Ceiling(high / step - 0.001f) * step;
        if (last <= first)
        {
            last = first + step;
        }

        var count = (int)MathF.Round((last - first) / step);
        return new(
            first,
            last,
            [.. Enumerable.Range(0, count + 1).Select(i => Mark(first + i * step, step))]
        );
    }

    /// <summary>Tops of the bars of a day, one upon the other.</summary>
    private static IEnumerable<float> StackTops(ChartDrawing drawing) =>
        Enumerable
            .Range(0, drawing.Days)
            .Select(day =>
                drawing
                    .Series.Where(s => s.Style == SeriesStyle.Bars)
                    .Sum(s => float.IsFinite(s.Values[day]) ? s.Values[day] : 0)
            );

    /// <summary>What lies closer together is one value: marks have six decimals at most, and the smallest floats know no steps.</summary>
    private const float Same = 1e-6f;

    // Four to six steps.
    private static float Step(float span)
    {
        if (span < Same || !float.IsFinite(span))
        {
            return 1;
        }

        var rough = span / 5;
        var power = MathF.Pow(10, MathF.Floor(MathF.Log10(rough)));
        return Steps.First(s => s * power >= rough * 0.999f) * power;
    }

    private static Tick Mark(float value, float step)
    {
        // As many decimals as the step has: 0.05 has two, 2.5 has one.
        var decimals = 0;
        for (double s = step; decimals < 6 && Math.Abs(s - Math.Round(s)) > 1e-3 * s; s *= 10)
        {
            decimals++;
        }

        var rounded = MathF.Abs(value) < step / 1000 ? 0 : value; // no "-0"
        return new(value, rounded.ToString($"F{decimals}", CultureInfo.InvariantCulture));
    }
}

/// <summary>The days' axis.</summary>
internal static class DayAxis
{
    public static IReadOnlyList<Tick> Ticks(ChartDrawing drawing)
    {
        var end = drawing.First.PlusDays(drawing.Days);
        var ticks = new List<Tick>();
        var months = 1 + drawing.Days / 190;
        for (var month = Month(drawing.First); month < end; month = month.PlusMonths(months))
        {
            Add(month);
            if (drawing.Days <= 100)
            {
                Add(month.PlusDays(14));
            }

            if (drawing.Days <= 45)
            {
                Add(month.PlusDays(7));
                Add(month.PlusDays(21));
            }
        }

        return ticks;

        void Add(LocalDate date)
        {
            var at = Period.DaysBetween(drawing.First, date);
            if (at >= 0 && at < drawing.Days)
            {
                ticks.Add(new(at, Text(date, drawing)));
            }
        }
    }

    private static LocalDate Month(LocalDate date) => new(date.Year, date.Month, 1);

    private static string Text(LocalDate date, ChartDrawing drawing)
    {
        var month = date.ToString("MMM", CultureInfo.InvariantCulture);
        return drawing.Days > 100 ? month
            : drawing.Units == UnitSystem.Metric ? $"{date.Day} {month}"
            : $"{month} {date.Day}";
    }
}
