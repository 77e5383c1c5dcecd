using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>Growth potential of each grass on the lawn: means of seven days, the coming ones at the median of the courses.</summary>
internal static class GrowthChart
{
    private const int PastDays = 60;
    private const int AheadDays = 60;
    private const int Mean = 7;

    public static IEnumerable<Chart> Of(LawnYear year)
    {
        var from = year.Outlook.Today.PlusDays(-PastDays);
        var curves = Grasses(year.Lawn)
            .Select(g => (Grass: g, Values: Curve(year.Outlook, g, from)))
            .Where(c => !c.Values.All(double.IsNaN))
            .ToList();
        if (curves.Count == 0)
        {
            yield break;
        }

        yield return new(
            "growth",
            Phrase.Of($"Growth potential (100% is the best weather for the grass)"),
            QuantityKind.Percent,
            year.Outlook.Today,
            [
                .. curves.Select(c => new ChartSeries(
                    Phrase.Of($"{c.Grass.Name}"),
                    SeriesStyle.Line,
                    from,
                    c.Values,
                    []
                )),
            ],
            [],
            [.. curves.SelectMany(c => Words(year, c.Grass, c.Values))]
        );
    }

    private static IEnumerable<Grass> Grasses(Lawn lawn) =>
        lawn.Overseed is { } overseed
            ? [Agronomy.Grasses.Of(lawn.Grass), Agronomy.Grasses.Of(overseed)]
            : [Agronomy.Grasses.Of(lawn.Grass)];

    private static ImmutableArray<double> Curve(SeasonOutlook outlook, Grass grass, LocalDate from)
    {
        var past = DayColumns
            .Past(outlook, d => d.AirMeanC, from.PlusDays(1 - Mean), outlook.Today)
            .Select(t => 100 * GrowthPotential.Of(grass, t));
        var ahead = DayColumns.Ahead(
            outlook,
            (days, i) => 100 * GrowthPotential.Of(grass, days.AirMeanC[i]),
            AheadDays,
            0.5
        );
        double[] daily = [.. past, .. ahead];
        return
        [
            .. Enumerable
                .Range(0, daily.Length - Mean + 1)
                .Select(i =>
                {
                    var (sum, known) = DayColumns.Total(daily.Skip(i).Take(Mean));
                    return known >= Mean - 2 ? sum / known : double.NaN;
                }),
        ];
    }

    private static IEnumerable<Phrase> Words(
        LawnYear year,
        Grass grass,
        ImmutableArray<double> values
    )
    {
        var now = values[PastDays - 1];
        var month = values[Math.Min(PastDays + 29, values.Length - 1)];
        if (!double.IsNaN(now) && !double.IsNaN(month))
        {
            yield return Phrase.Of(
                $"{Sentence(grass.Name)}: {Quantity.Percent(now)} this past week, {Quantity.Percent(month)} by {year.Outlook.Today.PlusDays(30)}."
            );
        }
    }

    private static string Sentence(string name) => char.ToUpperInvariant(name[0]) + name[1..];
}
