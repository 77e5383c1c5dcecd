using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>What the owner's journal says of the last twelve months.</summary>
internal static class OnRecord
{
    public static ImmutableArray<BriefingFact> Of(LawnYear year)
    {
        var from = year.Date.PlusYears(-1);
        var entries = year.Record.Entries.Where(e => e.Date > from && e.Date <= year.Date).ToList();
        var facts = ImmutableArray.CreateBuilder<BriefingFact>();
        if (entries.Count == 0)
        {
            facts.Add(
                new(
                    Phrase.Of($"Journal"),
                    Phrase.Of(
                        $"nothing in twelve months: what you mow, feed, seed and water makes this advice your own"
                    )
                )
            );
            return facts.ToImmutable();
        }

        Add(
            JournalKind.Mowed,
            "Mowed",
            e => e.Amount is { } cm ? Phrase.Of($"at {Quantity.CutCm(cm)}") : null
        );
        Add(
            JournalKind.Fed,
            "Fed",
            e =>
                e.Amount is { } rate
                    ? Phrase.Of($"{new Quantity(QuantityKind.AreaRate, rate)} of nitrogen")
                    : null
        );
        Add(
            JournalKind.Seeded,
            "Seeded",
            e => e.Grass is { } grass ? Phrase.Of($"{Grasses.Of(grass).Name}") : null
        );
        Add(JournalKind.Germinated, "Seed came up", _ => null);
        Add(
            JournalKind.Watered,
            "Watered",
            e => e.Amount is { } mm ? Phrase.Of($"{Quantity.WaterMm(mm)}") : null
        );
        Add(
            JournalKind.SoilMeasured,
            "Soil measured",
            e => e.Amount is { } celsius ? Phrase.Of($"{Quantity.TemperatureC(celsius)}") : null
        );
        Add(JournalKind.PreEmergent, "Pre-emergent", _ => null);
        Add(JournalKind.Aerated, "Aerated", _ => null);
        Add(JournalKind.Dethatched, "Dethatched", _ => null);
        Add(JournalKind.MowingSkipped, "Mowing skipped", _ => null);
        return facts.ToImmutable();

        void Add(JournalKind kind, string label, Func<JournalEntry, Phrase?> detail)
        {
            var those = entries.Where(e => e.Kind == kind).ToList();
            if (those.Count == 0)
            {
                return;
            }

            var last = those[^1];
            var times = those.Count == 1 ? "once" : $"{those.Count} times";
            facts.Add(
                new(
                    Phrase.Of($"{label}"),
                    detail(last) is { } told
                        ? Phrase.Of($"{times}; last {last.Date}, {told}")
                        : Phrase.Of($"{times}; last {last.Date}")
                )
            );
        }
    }
}
