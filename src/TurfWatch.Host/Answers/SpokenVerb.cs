using System.Text.RegularExpressions;
using NodaTime;

namespace TurfWatch.Host.Answers;

/// <summary>What a line is about, by the word that tells it.</summary>
internal static partial class SpokenVerb
{
    // What is done to a lawn, and how thumbs write it.
    private static readonly (string[] Words, Func<Said, Answer> Read)[] Deeds =
    [
        (
            [
                "mowed",
                "mow",
                "mown",
                "cut",
                "mowing",
                "mowd",
                "mow'd",
                "mowwed",
                "moed",
                "mowned",
                "scalped",
            ],
            SaidDeeds.Mowed
        ),
        (
            [
                "fed",
                "feed",
                "feeding",
                "fertilized",
                "fertilised",
                "fertilizer",
                "fertilize",
                "fert",
                "ferted",
                "fertlized",
                "fertalized",
                "feritlized",
                "fertilzed",
            ],
            SaidDeeds.Fed
        ),
        (
            [
                "overseeded",
                "seeded",
                "seed",
                "sowed",
                "sown",
                "sowing",
                "overseed",
                "seeding",
                "reseeded",
                "over-seeded",
                "overseded",
            ],
            SaidDeeds.Seeded
        ),
        (
            [
                "watered",
                "irrigated",
                "sprinkled",
                "water",
                "watering",
                "waterd",
                "wattered",
                "soaked",
            ],
            SaidDeeds.Watered
        ),
        (["soil", "ground", "thermometer"], SaidDeeds.Soil),
        (["germinated", "sprouted", "germination", "germenated"], SaidDeeds.Germinated),
        (["pre-emergent", "preemergent", "preemergant"], SaidDeeds.PreEmergent),
        (
            ["aerated", "aerate", "aerating", "aeration", "cored", "areated", "airated"],
            SaidDeeds.Aerated
        ),
        (
            ["dethatched", "dethatch", "dethatching", "de-thatched", "scarified"],
            SaidDeeds.Dethatched
        ),
        (["skip", "skipped", "skipping"], SaidDeeds.Skipped),
    ];

    private static readonly (string[] Words, Func<Said, Answer> Read)[] Commands =
    [
        (["pause", "vacation", "holiday"], SaidCommands.PauseUntil),
        (["resume", "restart", "unpause"], SaidCommands.Resumed),
        (["undo"], _ => new Undo()),
        (["help", "?"], _ => new Help()),
        (["settings", "profile"], _ => new ShowSettings()),
        (["set", "change"], SaidCommands.Setting),
        (["add", "another"], SaidCommands.AddLawn),
        (["stop", "unsubscribe", "leave", "cancel"], SaidCommands.Stop),
        (["yes", "confirm", "confirmed"], _ => new Confirm()),
    ];

    // Words that stand before the one that tells.
    private static readonly string[] Filler =
    [
        "i",
        "on",
        "we",
        "i've",
        "we've",
        "i'm",
        "im",
        "we're",
        "have",
        "has",
        "had",
        "just",
        "hi",
        "hello",
        "hey",
        "ok",
        "okay",
        "so",
        "please",
        "pls",
        "plz",
        "the",
        "my",
        "our",
        "lawn",
        "grass",
        "was",
        "it",
        "finally",
        "also",
        "and",
        "then",
        "done",
        "did",
        "got",
        "temp",
        "finished",
        "going",
        "oops",
        "sorry",
        "wrong",
        "show",
        "all",
    ];

    /// <summary>Words of the past, which tell of a deed wherever they stand: "yesterday my son mowed".</summary>
    private const string Past =
        "mow(ed|n|d|'d|wed)|moed|fed|fertili[sz]ed|fertlized|fert(ed)?|(over-?|re)?seeded|sow(ed|n)|watt?ered|waterd|irrigated|aerated|dethatched|de-thatched|germinated|sprouted";

    public static bool Knows(string word) =>
        Deeds.Concat(Commands).Any(v => v.Words.Contains(word, StringComparer.Ordinal))
        || Filler.Contains(word, StringComparer.Ordinal);

    /// <summary>How the line is to be read; null when nothing in it tells.</summary>
    /// <param name="words">Its words, in lower case.</param>
    /// <returns>The reader, and whether it tells of a deed.</returns>
    public static (Func<Said, Answer> Read, bool Deed)? Of(
        string line,
        string[] words,
        LocalDate today
    )
    {
        var start = Array.FindIndex(words, w => !Filler.Contains(w));
        var first = SaidDeeds.VerbOf(line) ?? (start < 0 ? words[0] : words[start]);
        return SaidCommands.IsAway(line, today) ? (SaidCommands.PauseUntil, false)
            : Among(Deeds, first) is { } deed ? (deed, true)
            : Among(Commands, first) is { } command ? (command, false)
            : PastForm().Match(line) is { Success: true } past
            && Among(Deeds, past.Value.ToLowerInvariant()) is { } told
                ? (told, true)
            : null;
    }

    /// <summary>Whether a line names two different deeds; each should stand in a line of its own.</summary>
    public static bool IsTwo(string line) =>
        PastForm()
            .Matches(line)
            .Select(m => Among(Deeds, m.Value.ToLowerInvariant()))
            .Where(r => r is not null)
            .Distinct()
            .Count() > 1;

    /// <summary>Whether a line speaks of a deed at all, done or not.</summary>
    public static bool SpeaksOfDeed(string[] words) =>
        words.Any(w => Among(Deeds, w.TrimEnd('?')) is not null);

    private static Func<Said, Answer>? Among(
        (string[] Words, Func<Said, Answer> Read)[] verbs,
        string word
    ) => Array.Find(verbs, v => v.Words.Contains(word, StringComparer.Ordinal)).Read;

    /// <summary>The single things that a line tells one after the other, the day of one said to the next.</summary>
    public static IEnumerable<string> Clauses(string line)
    {
        if (line.TrimEnd().EndsWith('?'))
        {
            return [line];
        }

        var clauses = new List<string>();
        var from = 0;
        foreach (Match between in BetweenForm().Matches(line))
        {
            // "Hello, mowed 2 in" is one thing. "Did not mow and feed": what denies or plans goes for all that follows, up to a "but".
            var told = line[from..between.Index];
            if (
                !TellsOfDeed(told)
                || Unreal.Doubts(told)
                    && !between.Value.Contains("but", StringComparison.OrdinalIgnoreCase)
            )
            {
                continue;
            }

            clauses.Add(line[from..between.Index]);
            from = between.Index + between.Length;
        }

        clauses.Add(line[from..]);
        return clauses.Count == 1 ? clauses : WithDays(clauses);
    }

    private static bool TellsOfDeed(string text) =>
        SaidDeeds.VerbOf(text) is not null || SpeaksOfDeed(AnswerReader.Words(text));

    private static List<string> WithDays(List<string> clauses)
    {
        var days = clauses.ConvertAll(c => Unreal.Doubts(c) ? null : SpokenDate.Words(c));
        for (var i = 0; i < clauses.Count; i++)
        {
            if (
                days[i] is null
                && !SpokenDate.IsVague(clauses[i])
                && !Unreal.Doubts(clauses[i])
                && (days[..i].FindLast(d => d is not null) ?? days[i..].Find(d => d is not null))
                    is { } day
            )
            {
                clauses[i] = $"{clauses[i]} {day}";
            }
        }

        return clauses;
    }

    [GeneratedRegex(
        @"(?<![\w-])(" + Past + @")(?![\w'-])",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex PastForm();

    // What parts two deeds: a comma or "and" before the next of them.
    [GeneratedRegex(
        @"\s*([,&+]|\b(and|then|but|plus|also)\b)(\s*([,&+]|\b(and|then|but|plus|also|i|we|just|have|it)\b))*\s*(?=\b("
            + Past
            + @"|cut (the|it|grass)|put down|threw down|spread|applied|soil (temp\w* )?(is |was )?[0-9]+|(i['’]?ll|will|plan(ning)? to|going to|gonna|need to))(?![\w'-]))",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex BetweenForm();
}
