using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Subject and headline: the verdict in the fewest words.</summary>
public static class Wording
{
    /// <summary>The subject line, about 60 characters at most once written out.</summary>
    public static Phrase Subject(Morning morning, Decided decided)
    {
        var advice = decided.Advice;
        return advice.Verdict switch
        {
            MowingVerdict.MowNow => Phrase.Of(
                $"Mow now, until {advice.Until!.Value}{After(decided, ": ")}"
            ),
            MowingVerdict.MowFrom => Phrase.Of(
                $"Mow from {advice.From!.Value} to {advice.Until!.Value}{Around(decided)}"
            ),
            MowingVerdict.Wait => Phrase.Of($"Wait with mowing: {Why(morning, decided)}"),
            _ => Phrase.Of($"No mowing today: {Why(morning, decided)}"),
        };
    }

    /// <summary>The verdict in one sentence.</summary>
    public static Phrase Headline(Morning morning, Decided decided)
    {
        var advice = decided.Advice;
        return advice.Verdict switch
        {
            MowingVerdict.MowNow => Phrase.Of(
                $"You can mow now, until {advice.Until!.Value}{After(decided, "; then ")}."
            ),
            MowingVerdict.MowFrom => Phrase.Of(
                $"Mow between {advice.From!.Value} and {advice.Until!.Value}{Around(decided)}."
            ),
            _ => advice.Reasons.Length > 0
                ? advice.Reasons[0].Text
                : Phrase.Of($"Leave the mower in today."),
        };
    }

    private static string Around(Decided decided)
    {
        var before = Ending(decided, decided.Advice.From!.Value);
        var after = After(decided, "");
        return (before, after) switch
        {
            ("", "") => "",
            ("", _) => $": {after}",
            (_, "") => $": {before} first",
            _ => $": {before} first, {after}",
        };
    }

    private static string Ending(Decided decided, Instant at) =>
        Told(decided.Holds.Where(h => h.Kind != HoldKind.Care && h.Until == at));

    private static string After(Decided decided, string lead)
    {
        var until = decided.Advice.Until!.Value;
        var note = Told(decided.Holds.Where(h => h.Kind != HoldKind.Care && h.From == until));
        return note.Length > 0 ? $"{lead}{note} later" : "";
    }

    private static string Told(IEnumerable<Hold> holds) =>
        holds
            .Select(h => h.Note)
            .FirstOrDefault(n => n is not ("before your hours" or "after your hours"))
        ?? "";

    private static string Why(Morning morning, Decided decided)
    {
        if (decided.Advice.Verdict == MowingVerdict.Wait && GrowthNeedRule.NotYet(morning))
        {
            return "the grass is not due yet";
        }

        return decided
                .Holds.Where(h => h.Kind != HoldKind.Care)
                .GroupBy(h => h.Note, StringComparer.Ordinal)
                .OrderByDescending(g => g.Max(h => h.Within(morning.OwnerHours)))
                .Select(g => g.Key)
                .FirstOrDefault()
            ?? "nothing is known";
    }
}
