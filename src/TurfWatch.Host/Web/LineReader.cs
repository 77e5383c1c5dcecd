using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>A line of the journal that was typed into fields, read by the rules of an answer; each fault is told by its field.</summary>
internal static class LineReader
{
    /// <summary>The kind that was chosen; null, and a fault, when it is none of those offered.</summary>
    public static JournalKind? Kind(string verb, List<string> faults)
    {
        var kinds = EntryWords.Kinds.Where(k => k.Verb == verb).Select(k => k.Kind).ToList();
        if (kinds.Count == 0)
        {
            faults.Add("--kind is none of those offered; choose one.");
            return null;
        }

        return kinds[0];
    }

    /// <summary>The day that was typed; null, and a fault, when it is none on which anything can have been done.</summary>
    /// <param name="kept">A day that is not asked about, for a line keeps it; null when there is none.</param>
    public static LocalDate? Day(
        string day,
        LocalDate? kept,
        LocalDateTime now,
        UnitSystem units,
        List<string> faults
    )
    {
        if (!LocalDatePattern.Iso.Parse(day).TryGetValue(default, out var date))
        {
            faults.Add($"--day is '{day}'; write it as 2026-11-20.");
            return null;
        }

        if (
            date != kept
            && AnswerReader.Read([$"mowed {day}"], now, units) is [NotUnderstood wrong]
        )
        {
            faults.Add($"--day: {wrong.Why}.");
            return null;
        }

        return date;
    }

    /// <summary>What the line comes to; null when there are faults.</summary>
    /// <param name="kind">What was done.</param>
    /// <param name="amount">The words that stand between the verb and the day of an answer.</param>
    /// <param name="date">On which day.</param>
    /// <param name="field">The field whose faults those of the amount are.</param>
    /// <param name="example">What may stand in the field.</param>
    public static async Task<AnswerEffect?> ReadAsync(
        JournalKind kind,
        string amount,
        LocalDate date,
        string field,
        string example,
        Lawn lawn,
        LocalDateTime now,
        LawnToday today,
        List<string> faults,
        CancellationToken cancel
    )
    {
        if (SpokenDate.Find(amount, now.Date).Date is not null)
        {
            faults.Add(
                $"--{field} is '{amount}', with a day in it; the day has a field of its own."
            );
            return null;
        }

        var line = $"{EntryWords.Verb(kind)} {amount} {date:uuuu-MM-dd}";
        switch (AnswerReader.Read([line], now, lawn.Units))
        {
            case [Did { AsAdvised: false } bare] when amount.Length > 0 && SaysNothing(bare):
                faults.Add(
                    $"--{field} is '{amount}', which was not understood; write for example: {example}."
                );
                return null;
            case [Did did] when did.Kind == kind && did.Date == date:
                var advised = did.AsAdvised ? await today.FeedingAsync(lawn, cancel) : null;
                var effect = AnswerEffect.Of([did], lawn, date, advised);
                if (effect.Adds is [_])
                {
                    return effect;
                }

                var say = new PhraseText(lawn, now.Date);
                faults.AddRange(effect.NotUnderstood.Select(p => $"--{field}: {say.Of(p)}"));
                return null;
            case [NotUnderstood not]:
                faults.Add($"--{field}: {not.Why}.");
                return null;
            default:
                faults.Add($"--{field} holds more than an amount; write for example: {example}.");
                return null;
        }
    }

    private static bool SaysNothing(Did did) =>
        did is { Amount: null, Minutes: null, WholeLawnKg: null, ProductGM2: null, Grass: null };
}
