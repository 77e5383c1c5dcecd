using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>
/// A line of the journal as it is typed, on the command line or in a lawn file: the same words, the same sentences
/// when something cannot be used.
/// </summary>
internal static class JournalWords
{
    /// <summary>More nitrogen than this in one feeding is a slip of the pen: five pounds per 1,000 square feet.</summary>
    private const double MostNitrogenGM2 = 25;

    /// <summary>Every word beside what and on: its name, what it takes, and what it means.</summary>
    public static readonly (string Name, string Takes, string Means)[] All =
    [
        (
            "amount",
            "AMOUNT",
            "How much, with its unit: mowed 2.5in or 6cm (height of cut); fed 0.75lb/1000sqft or 4g/m2 of nitrogen, or with --grade of the product; seeded 8lb/1000sqft or 40g/m2; watered 0.5in or 12mm; soil-measured 55F or 13C (at 4 in)."
        ),
        (
            "grade",
            "N-P-K",
            "Of the fertilizer that was given, for example 24-0-11; the amount is then that of the product."
        ),
        (
            "grass",
            "GRASS",
            "What was seeded, came up or was fed, for example perennial-ryegrass; of two grasses on one lawn."
        ),
        (
            "before",
            "HEIGHT",
            "Height of the grass before it was mowed, by a ruler, for example 4in."
        ),
        (
            "time",
            "HH:MM",
            "Local time of day of a soil reading, for example 20:30. Left out: 16:00 is taken."
        ),
    ];

    private static readonly JournalKind[] WithoutAmount =
    [
        JournalKind.Germinated,
        JournalKind.PreEmergent,
        JournalKind.Aerated,
        JournalKind.Dethatched,
        JournalKind.MowingSkipped,
    ];

    private static readonly Dictionary<string, string> Meanings = new(StringComparer.Ordinal)
    {
        ["amount"] = "an amount",
        ["grade"] = "a grade",
        ["grass"] = "a grass",
        ["before"] = "a height before mowing",
        ["time"] = "a time of day",
    };

    /// <summary>The line; null when something could not be used.</summary>
    /// <param name="words">What was typed, by word.</param>
    /// <param name="name">How a word is called where it was typed.</param>
    /// <param name="today">Taken when no date was typed.</param>
    /// <param name="faults">What could not be used.</param>
    public static JournalEntry? Read(
        IReadOnlyDictionary<string, string> words,
        Func<string, string> name,
        LocalDate? today,
        ICollection<string> faults
    )
    {
        var before = faults.Count;
        var kind = Words.OneOf<JournalKind>(
            name("what"),
            words.GetValueOrDefault("what", ""),
            faults
        );
        var date =
            words.TryGetValue("on", out var on) || today is null
                ? Words.PastDate(name("on"), on ?? "", faults)
                : today;
        if (kind is not { } k)
        {
            return null;
        }

        RefuseForeign(words, name, k, faults);
        var amount = words.TryGetValue("amount", out var typed)
            ? Measures.Amount(k, name("amount"), typed, faults)
            : null;
        var grade = words.TryGetValue("grade", out var label)
            ? GradeWords.Read(name("grade"), label, faults)
            : null;
        var time = words.TryGetValue("time", out var hour)
            ? Words.Time(name("time"), hour, faults)
            : null;
        var grass = words.TryGetValue("grass", out var sown)
            ? Words.OneOf<GrassKind>(name("grass"), sown, faults)
            : null;
        var height = words.TryGetValue("before", out var ruler)
            ? Measures.HeightBeforeCm(name("before"), ruler, faults)
            : null;
        if (grade is not null && amount is null && typed is null)
        {
            faults.Add(
                $"{name("grade")} is '{label}', but {name("amount")} is missing; write how much of the product was given, for example 4lb/1000sqft."
            );
        }

        if (k == JournalKind.Mowed && height <= amount)
        {
            faults.Add(
                $"{name("before")} is '{ruler}', not more than the height of cut {typed}; write the height of the grass before it was mowed."
            );
        }

        var nitrogen = grade is null ? amount : amount * grade.NitrogenPercent / 100;
        if (k == JournalKind.Fed && nitrogen > MostNitrogenGM2)
        {
            faults.Add(
                $"{name("amount")} is '{typed}', which is more nitrogen than any lawn takes at once; {(grade is null ? $"an amount of the product goes with {name("grade")}" : "check number and unit")}."
            );
        }

        return faults.Count > before
            ? null
            : new(0, k, date!.Value, k == JournalKind.Fed ? nitrogen : amount, time)
            {
                PhosphateGM2 = amount * grade?.PhosphatePercent / 100,
                PotashGM2 = amount * grade?.PotashPercent / 100,
                Grass = grass,
                HeightBeforeCm = height,
            };
    }

    /// <summary>What it says, in the units that it is kept in.</summary>
    public static string Show(JournalEntry entry)
    {
        string[] parts =
        [
            Measures.Show(entry.Kind, entry.Amount)
                + (entry is { Kind: JournalKind.Fed, Amount: not null } ? " N" : ""),
            entry.PhosphateGM2 is { } phosphate ? $"{phosphate:0.##} g/m2 P2O5" : "",
            entry.PotashGM2 is { } potash ? $"{potash:0.##} g/m2 K2O" : "",
            entry.HeightBeforeCm is { } height ? $"from {height:0.#} cm" : "",
            entry.Grass is { } grass ? Words.Kebab(grass.ToString()) : "",
        ];
        var time = entry.Time is { } at ? $" at {at:HH:mm}" : "";
        return string.Join(", ", parts.Where(p => p.Length > 0)) + time;
    }

    private static void RefuseForeign(
        IReadOnlyDictionary<string, string> words,
        Func<string, string> name,
        JournalKind kind,
        ICollection<string> faults
    )
    {
        (string Word, JournalKind[] Kinds)[] only =
        [
            ("amount", [.. Enum.GetValues<JournalKind>().Where(k => !WithoutAmount.Contains(k))]),
            ("grade", [JournalKind.Fed]),
            ("grass", [JournalKind.Seeded, JournalKind.Germinated, JournalKind.Fed]),
            ("before", [JournalKind.Mowed]),
            ("time", [JournalKind.SoilMeasured]),
        ];
        foreach (var (word, kinds) in only)
        {
            if (words.TryGetValue(word, out var text) && !kinds.Contains(kind))
            {
                faults.Add(
                    $"{name(word)} is '{text}', but {name("what")} is {Words.Kebab(kind.ToString())}; only {string.Join(", ", kinds.Select(k => Words.Kebab(k.ToString())))} {(kinds.Length == 1 ? "takes" : "take")} {Meanings[word]}."
                );
            }
        }
    }
}
