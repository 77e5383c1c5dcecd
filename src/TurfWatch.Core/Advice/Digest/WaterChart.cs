using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>What fell or was given, and what sun and wind drew, day by day.</summary>
internal static class WaterChart
{
    private const int PastDays = 28;
    private const int AheadDays = 7;

    public static IEnumerable<Chart> Of(LawnYear year)
    {
        var outlook = year.Outlook;
        var from = outlook.Today.PlusDays(-PastDays);
        var rain = Column(outlook, d => d.RainMm, from);
        var drawn = Column(outlook, d => d.Et0Mm, from);
        if (drawn.All(double.IsNaN) && rain.All(double.IsNaN))
        {
            yield break;
        }

        var given = rain.Select((mm, i) => mm + Watered(year, from.PlusDays(i))).ToImmutableArray();
        yield return new(
            "water",
            Phrase.Of($"Water in and out, by day"),
            QuantityKind.WaterDepth,
            outlook.Today,
            [
                new(Phrase.Of($"rain and recorded watering"), SeriesStyle.Bars, from, given, []),
                new(Phrase.Of($"drawn by sun and wind (ET0)"), SeriesStyle.Line, from, drawn, []),
            ],
            [],
            [.. Words(given, drawn)]
        );
    }

    // The forecast's days are the same in all courses but for its error; the median is the forecast.
    private static ImmutableArray<double> Column(
        SeasonOutlook outlook,
        Func<SiteDays, double[]> column,
        LocalDate from
    ) =>
        [
            .. DayColumns.Past(outlook, column, from, outlook.Today),
            .. DayColumns.Ahead(
                outlook,
                (days, i) => column(days)[i],
                Math.Min(AheadDays, outlook.ForecastDays),
                0.5
            ),
        ];

    private static double Watered(LawnYear year, LocalDate date) =>
        year
            .Record.Entries.Where(e => e.Kind == JournalKind.Watered && e.Date == date)
            .Sum(e => e.Amount ?? 0);

    private static IEnumerable<Phrase> Words(
        ImmutableArray<double> given,
        ImmutableArray<double> drawn
    )
    {
        foreach (var (days, name) in ((int, string)[])[(7, "7 days"), (28, "28 days")])
        {
            var (into, knownIn) = Total(given, days);
            var (drawnOut, knownOut) = Total(drawn, days);
            if (knownIn >= days - 1 && knownOut >= days - 1)
            {
                yield return Phrase.Of(
                    $"Last {name}: {Quantity.WaterMm(into)} of rain and recorded watering; sun and wind drew {Quantity.WaterMm(drawnOut)} from short grass."
                );
            }
        }
    }

    private static (double Sum, int Known) Total(ImmutableArray<double> values, int days) =>
        DayColumns.Total(values.Take(PastDays).Skip(PastDays - days));
}
