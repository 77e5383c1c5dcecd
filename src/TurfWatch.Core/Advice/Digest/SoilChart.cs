using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Agronomy.Windows;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>Soil temperature at 10 cm: what was, what may come, what is usual, and the levels that matter to the lawn's grasses.</summary>
internal static class SoilChart
{
    private const int PastDays = 60;
    private const int AheadDays = 60;

    // A level this far outside the curves would only squeeze them.
    private const double NearC = 3;

    public static IEnumerable<Chart> Of(LawnYear year)
    {
        var outlook = year.Outlook;
        var from = outlook.Today.PlusDays(-PastDays);
        var past = DayColumns
            .Past(outlook, d => d.Soil10CmC, from, outlook.Today)
            .ToImmutableArray();
        if (past.All(double.IsNaN) && outlook.Traces.IsDefaultOrEmpty)
        {
            yield break;
        }

        var series = new List<ChartSeries>();
        var (low, median, high) = (Ahead(outlook, 0.1), Ahead(outlook, 0.5), Ahead(outlook, 0.9));
        if (!outlook.Traces.IsDefaultOrEmpty)
        {
            series.Add(
                new(
                    Phrase.Of($"likely range (8 years in 10)"),
                    SeriesStyle.Band,
                    outlook.Today,
                    high,
                    low
                )
            );
        }

        var usual = Usual(outlook, from);
        if (!usual.All(double.IsNaN))
        {
            series.Add(new(Phrase.Of($"usual"), SeriesStyle.FaintLine, from, usual, []));
        }

        series.Add(new(Phrase.Of($"this year"), SeriesStyle.Line, from, past, []));
        yield return new(
            "soil",
            Phrase.Of($"Soil temperature at {Told.Depth(year)}"),
            QuantityKind.Temperature,
            outlook.Today,
            [.. series],
            Levels(year.Lawn, [.. past, .. low, .. high]),
            [.. Words(year, past, usual, low, median, high)]
        );
    }

    private static ImmutableArray<double> Ahead(SeasonOutlook outlook, double quantile) =>
        DayColumns.Ahead(outlook, (days, i) => days.Soil10CmC[i], AheadDays, quantile);

    private static ImmutableArray<double> Usual(SeasonOutlook outlook, LocalDate from) =>
        [
            .. Enumerable
                .Range(0, PastDays + AheadDays)
                .Select(i =>
                    outlook.UsualSoil10CmC.IsDefaultOrEmpty
                        ? double.NaN
                        : outlook.UsualSoil10CmC[PlaceClimate.IndexOf(from.PlusDays(i))]
                ),
        ];

    private static ImmutableArray<ChartLevel> Levels(Lawn lawn, double[] shown)
    {
        var known = shown.Where(v => !double.IsNaN(v)).DefaultIfEmpty(double.NaN).ToArray();
        var (least, most) = (known.Min() - NearC, known.Max() + NearC);
        return
        [
            .. SoilLevels
                .Of(lawn)
                .Where(l => l.Value >= least && l.Value <= most)
                .DistinctBy(l => l.Value),
        ];
    }

    private static IEnumerable<Phrase> Words(
        LawnYear year,
        ImmutableArray<double> past,
        ImmutableArray<double> usual,
        ImmutableArray<double> low,
        ImmutableArray<double> median,
        ImmutableArray<double> high
    )
    {
        var last = past.LastOrDefault(v => !double.IsNaN(v), double.NaN);
        if (!double.IsNaN(last))
        {
            var normal = usual[PastDays];
            yield return double.IsNaN(normal)
                ? Phrase.Of(
                    $"The soil at {Told.Depth(year)} now: {Quantity.TemperatureC(last)}, mean of the day."
                )
                : Phrase.Of(
                    $"The soil at {Told.Depth(year)} now: {Quantity.TemperatureC(last)}, mean of the day; usual at this date is {Quantity.TemperatureC(normal)}."
                );
        }

        foreach (var days in (int[])[14, 30, 59])
        {
            if (!double.IsNaN(median[days]))
            {
                yield return Phrase.Of(
                    $"On {year.Outlook.Today.PlusDays(days)}: likely {Quantity.TemperatureC(low[days])} to {Quantity.TemperatureC(high[days])}, median {Quantity.TemperatureC(median[days])}."
                );
            }
        }
    }
}
