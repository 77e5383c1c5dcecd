using System.Globalization;
using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;

namespace TurfWatch.Host.Answers;

/// <summary>
/// Understands what owners write back. Forgiving of how it is said, strict about what is done: a line that denies,
/// asks or plans ("did not mow", "should I mow?", "will mow tomorrow") is never taken for a deed.
/// </summary>
internal static partial class AnswerReader
{
    private const string Example =
        "write one thing a line, for example: mowed 2 in, fed 5 lb 21-0-0, watered 20 min, soil 61, or help";

    private static readonly (string[] Words, Func<Said, Answer> Read)[] Verbs =
    [
        (["mowed", "mow", "mown", "cut", "mowing"], SaidDeeds.Mowed),
        (["fed", "feed", "fertilized", "fertilised", "fertilizer", "fertilize"], SaidDeeds.Fed),
        (["overseeded", "seeded", "seed", "sowed", "sown", "sowing", "overseed"], SaidDeeds.Seeded),
        (["watered", "irrigated", "sprinkled", "water"], SaidDeeds.Watered),
        (["soil", "ground", "thermometer"], SaidDeeds.Soil),
        (["germinated", "sprouted", "germination"], SaidDeeds.Germinated),
        (["pre-emergent", "preemergent"], SaidDeeds.PreEmergent),
        (["aerated", "aerate", "aerating", "aeration", "cored"], SaidDeeds.Aerated),
        (
            ["dethatched", "dethatch", "dethatching", "de-thatched", "scarified"],
            SaidDeeds.Dethatched
        ),
        (["skip", "skipped", "skipping"], SaidDeeds.Skipped),
        (["pause", "vacation", "holiday"], SaidCommands.PauseUntil),
        (["resume", "restart", "unpause"], _ => new Resume()),
        (["undo"], _ => new Undo()),
        (["help", "?"], _ => new Help()),
        (["settings", "profile"], _ => new ShowSettings()),
        (["set"], SaidCommands.Setting),
        (["add", "another"], SaidCommands.AddLawn),
        (["stop", "unsubscribe", "leave", "cancel"], _ => new Leave()),
        (["yes", "confirm", "confirmed"], _ => new Confirm()),
    ];

    private static readonly string[] Filler =
    [
        "i",
        "on",
        "we",
        "i've",
        "we've",
        "have",
        "has",
        "just",
        "hi",
        "hello",
        "hey",
        "ok",
        "okay",
        "so",
        "please",
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
        "got",
        "temp",
    ];

    /// <summary>The answers of a message's own lines.</summary>
    /// <param name="lines">The sender's own lines.</param>
    /// <param name="now">The local time at the lawn.</param>
    /// <param name="units">The units that the owner reads, for numbers without one.</param>
    public static IReadOnlyList<Answer> Read(
        IEnumerable<string> lines,
        LocalDateTime now,
        UnitSystem units
    )
    {
        var answers = new List<Answer>();
        foreach (var line in lines.SelectMany(Parts))
        {
            var answer = One(line, now, units);
            // A greeting or a thank-you among what was understood needs no reproach.
            if (answer is not null)
            {
                answers.Add(answer);
            }
        }

        return answers;
    }

    /// <summary>Whether a word means something in an answer, so that it cannot be what a lawn is called.</summary>
    public static bool Knows(string word) =>
        Verbs.Any(v => v.Words.Contains(word, StringComparer.Ordinal))
        || Filler.Contains(word, StringComparer.Ordinal)
        || Courtesy.Contains(word, StringComparer.Ordinal)
        || SpokenWishes.Knows(word)
        || SpokenGrass.Find(word) is not null
        || SpokenNumber.All(word).Any()
        || SpokenDate.Find(word, new LocalDate(2026, 1, 15)).Date is not null;

    private static Answer? One(string line, LocalDateTime now, UnitSystem units)
    {
        var words = Words(line);
        if (words.Length == 0 || words.All(w => Courtesy.Contains(w)))
        {
            return null;
        }

        var start = Array.FindIndex(words, w => !Filler.Contains(w));
        var first = start < 0 ? words[0] : words[start];
        if (SaidCommands.Wish(line) is { } wish)
        {
            return wish;
        }

        first = SaidDeeds.VerbOf(line) ?? first;

        foreach (var (names, read) in Verbs)
        {
            if (!names.Contains(first))
            {
                continue;
            }

            if (Unreal(line, words) is { } why)
            {
                return new NotUnderstood(line, why);
            }

            return read(new Said(line, words, now, units));
        }

        return new NotUnderstood(line, $"this was not understood; {Example}");
    }

    private static readonly string[] Courtesy =
    [
        "thanks",
        "thank",
        "you",
        "cheers",
        "hi",
        "hello",
        "hey",
        "regards",
        "best",
        "good",
        "morning",
        "dear",
        "turfwatch",
        "ok",
        "okay",
        "great",
        "very",
        "much",
        "a",
        "lot",
    ];

    /// <summary>Why the line does not tell of a deed; null when it does.</summary>
    private static string? Unreal(string line, string[] words) =>
        line.TrimEnd().EndsWith('?') && words.Length > 1
            ? "this is a question, so nothing was written down; write what was done, or help"
        : words.Any(w =>
            w
                is "not"
                    or "no"
                    or "never"
                    or "didn't"
                    or "didnt"
                    or "haven't"
                    or "havent"
                    or "don't"
                    or "dont"
                    or "couldn't"
                    or "cannot"
                    or "can't"
        )
            ? "this says that something was not done, so nothing was written down; write only what was done"
        : words.Any(w =>
            w
                is "will"
                    or "going"
                    or "gonna"
                    or "tomorrow"
                    or "plan"
                    or "planning"
                    or "should"
                    or "i'll"
                    or "we'll"
                    or "want"
                    or "need"
        ) && !words.Any(w => w is "pause" or "vacation" or "holiday")
            ? "this is still to come, so nothing was written down; write it when it is done"
        : null;

    /// <summary>The single things that a line says.</summary>
    public static IEnumerable<string> Parts(string line) =>
        Separator().Split(line).Select(p => p.Trim()).Where(p => p.Length > 0);

    private static string[] Words(string line) =>
        [
            .. SpokenNumber
                .Plain(line)
                .Split(
                    [' ', ',', ';', ':', '.', '!', '(', ')'],
                    StringSplitOptions.RemoveEmptyEntries
                ),
        ];

    [GeneratedRegex(
        @"\s*;\s*|\.\s+(?=\p{L})",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Separator();
}
