using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail.Charts;

/// <summary>A chart in the reader's units, ready to be drawn. Days are counted from the first one.</summary>
internal sealed record ChartDrawing
{
    private const int LongestName = 30;

    /// <summary>What is larger is no value of a lawn, and no number for a picture.</summary>
    private const double Most = 1e7;

    /// <summary>More days than a picture has dots serve nobody.</summary>
    private const int MostDays = 800;

    public required QuantityKind Kind { get; init; }

    public required UnitSystem Units { get; init; }

    public required LocalDate First { get; init; }

    public required int Days { get; init; }

    /// <summary>Index of today; it may lie outside.</summary>
    public required int Today { get; init; }

    public required ImmutableArray<DrawnSeries> Series { get; init; }

    public required ImmutableArray<DrawnLevel> Levels { get; init; }

    public string Unit => QuantityText.UnitOf(Kind, Units);

    /// <summary>The chart in the reader's units; null when it holds no known value.</summary>
    public static ChartDrawing? Of(Chart chart, PhraseFormatter say)
    {
        var drawn = chart.Series.Where(s => s.Values.Any(Known)).ToList();
        if (drawn.Count == 0)
        {
            return null;
        }

        var end = drawn.Max(s => s.First.PlusDays(s.Values.Length));
        var first = LocalDate.Max(drawn.Min(s => s.First), end.PlusDays(-MostDays));
        return new()
        {
            Kind = chart.Unit,
            Units = say.Units,
            First = first,
            Days = Period.DaysBetween(first, end),
            Today = Period.DaysBetween(first, chart.Today),
            Series =
            [
                .. drawn.Select(s => new DrawnSeries(
                    PlainText.Clip(say.Text(s.Name), LongestName),
                    s.Style,
                    Values(s.Values, s.First),
                    s.Style == SeriesStyle.Band ? Values(s.Low, s.First) : []
                )),
            ],
            Levels =
            [
                .. chart
                    .Levels.Where(l => Known(l.Value))
                    .Select(l => new DrawnLevel(
                        PlainText.Clip(say.Text(l.Name), LongestName),
                        (float)QuantityText.InUnit(chart.Unit, l.Value, say.Units)
                    )),
            ],
        };

        static bool Known(double value) => Math.Abs(value) < Most; // no for NaN, too

        ImmutableArray<float> Values(ImmutableArray<double> values, LocalDate from)
        {
            var shift = Period.DaysBetween(first, from);
            return
            [
                .. Enumerable
                    .Range(-shift, Period.DaysBetween(first, end))
                    .Select(i =>
                        i >= 0 && i < values.Length && Known(values[i])
                            ? (float)QuantityText.InUnit(chart.Unit, values[i], say.Units)
                            : float.NaN
                    ),
            ];
        }
    }

    /// <summary>A name that two drawings share only if they look the same.</summary>
    public string Name()
    {
        using var bytes = new MemoryStream();
        using (var writer = new BinaryWriter(bytes, Encoding.UTF8, leaveOpen: true))
        {
            writer.Write((int)Kind);
            writer.Write((int)Units);
            writer.Write(Period.DaysBetween(new(2000, 1, 1), First));
            writer.Write(Days);
            writer.Write(Today);
            foreach (var series in Series)
            {
                writer.Write(series.Name);
                writer.Write((int)series.Style);
                WriteAll(series.Values);
                WriteAll(series.Low);
            }

            writer.Write(Levels.Length);
            foreach (var level in Levels)
            {
                writer.Write(level.Name);
                writer.Write(level.Value);
            }

            void WriteAll(ImmutableArray<float> values)
            {
                writer.Write(values.Length);
                foreach (var value in values)
                {
                    writer.Write(value);
                }
            }
        }

        return Convert.ToHexStringLower(SHA256.HashData(bytes.ToArray()))[..24];
    }
}

/// <summary>One series.</summary>
/// <param name="Values">One value a day of the drawing; NaN is a gap.</param>
/// <param name="Low">The lower bound of a band, likewise; else empty.</param>
internal sealed record DrawnSeries(
    string Name,
    SeriesStyle Style,
    ImmutableArray<float> Values,
    ImmutableArray<float> Low
);

/// <summary>A level across the chart.</summary>
internal sealed record DrawnLevel(string Name, float Value);
