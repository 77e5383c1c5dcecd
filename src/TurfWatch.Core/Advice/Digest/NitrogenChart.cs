using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>Nitrogen given over the last twelve months, added up.</summary>
internal static class NitrogenChart
{
    public static IEnumerable<Chart> Of(LawnYear year)
    {
        var from = year.Date.PlusYears(-1);
        var fed = year
            .Record.Entries.Where(e =>
                e.Kind == JournalKind.Fed && e.Date > from && e.Date <= year.Date && e.Amount > 0
            )
            .ToList();
        if (fed.Count == 0)
        {
            yield break;
        }

        var values = ImmutableArray.CreateBuilder<double>();
        double sum = 0;
        for (var date = from; date <= year.Date; date = date.PlusDays(1))
        {
            sum += fed.Where(e => e.Date == date).Sum(e => e.Amount!.Value);
            values.Add(sum);
        }

        yield return new(
            "nitrogen",
            Phrase.Of($"Nitrogen given, last 12 months"),
            QuantityKind.AreaRate,
            year.Date,
            [new(Phrase.Of($"given, added up"), SeriesStyle.Line, from, values.ToImmutable(), [])],
            [],
            [
                .. fed.Select(e =>
                    Phrase.Of($"{e.Date}: {new Quantity(QuantityKind.AreaRate, e.Amount!.Value)}.")
                ),
                Phrase.Of($"Together {new Quantity(QuantityKind.AreaRate, sum)}."),
            ]
        );
    }
}
