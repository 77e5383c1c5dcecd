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
        (["mowed", "mow", "mown", "cut", "mowing"], Mowed),
        (["fed", "feed", "fertilized", "fertilised", "fertilizer", "fertilize"], Fed),
        (["overseeded", "seeded", "seed", "sowed", "sown", "sowing", "overseed"], Seeded),
        (["watered", "irrigated", "sprinkled", "water"], Watered),
        (["soil", "ground", "thermometer"], Soil),
        (["germinated", "sprouted", "germination"], Germinated),
        (["skip"], _ => new SkipToday()),
        (["pause", "vacation", "holiday"], PauseUntil),
        (["resume", "restart", "unpause"], _ => new Resume()),
        (["undo"], _ => new Undo()),
        (["help", "?"], _ => new Help()),
        (["settings", "profile"], _ => new ShowSettings()),
        (["set"], Setting),
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

    private static Answer? One(string line, LocalDateTime now, UnitSystem units)
    {
        var words = Words(line);
        if (words.Length == 0 || words.All(w => Courtesy.Contains(w)))
        {
            return null;
        }

        var start = Array.FindIndex(words, w => !Filler.Contains(w));
        var first = start < 0 ? words[0] : words[start];
        if (
            line.Contains("came up", StringComparison.OrdinalIgnoreCase)
            || line.Contains("coming up", StringComparison.OrdinalIgnoreCase)
            || line.Contains("seed is up", StringComparison.OrdinalIgnoreCase)
        )
        {
            first = "germinated";
        }

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

    private static IEnumerable<string> Parts(string line) =>
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

    private static Answer Mowed(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        var height = SpokenMeasure.HeightCm(rest, said.Units);
        if (height is null && HasNumber(rest))
        {
            return said.Fault("the height was not understood; write for example: mowed 2.5 in");
        }

        return height is { } cm and (< 0.5 or > 15)
            ? said.Fault(
                $"a height of cut of {cm / 2.54:0.#} in ({cm:0.#} cm) cannot be right; write for example: mowed 2.5 in"
            )
            : new Did(JournalKind.Mowed, said.Day) { Amount = height };
    }

    private static Answer Fed(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        if (
            rest.Contains("advised", StringComparison.OrdinalIgnoreCase)
            || rest.Contains("as told", StringComparison.OrdinalIgnoreCase)
        )
        {
            return new Did(JournalKind.Fed, said.Day) { AsAdvised = true };
        }

        FertilizerGrade? grade = null;
        var match = GradeForm().Match(rest);
        if (match.Success)
        {
            var numbers = Enumerable
                .Range(1, 3)
                .Select(i => double.Parse(match.Groups[i].Value, CultureInfo.InvariantCulture))
                .ToArray();
            if (numbers.Any(n => n > 100) || numbers.Sum() is not (> 0 and <= 100))
            {
                return said.Fault(
                    $"no fertilizer is {match.Value}: the three numbers add up to at most 100; copy them from the label"
                );
            }

            grade = new(numbers[0], numbers[1], numbers[2]);
            rest = rest.Remove(match.Index, match.Length);
        }

        var rate = SpokenMeasure.RateGM2(rest);
        var whole = SpokenMeasure.WholeKg(rest);
        if (rate is null && whole is null && HasNumber(rest))
        {
            return said.Fault(
                "the amount was not understood; write for example: fed 5 lb 21-0-0, or: fed 0.5 lb N per 1000"
            );
        }

        var nitrogen = grade is null || NitrogenForm().IsMatch(rest);
        if ((nitrogen && rate > 25) || rate > 250 || whole > 5000 || rate <= 0 || whole <= 0)
        {
            return said.Fault("that amount cannot be right; write for example: fed 5 lb 21-0-0");
        }

        if (grade is null && whole is not null && !NitrogenForm().IsMatch(rest))
        {
            return said.Fault(
                "which fertilizer? Write its three numbers too, for example: fed 5 lb 21-0-0"
            );
        }

        return new Did(JournalKind.Fed, said.Day)
        {
            Grade = grade,
            Amount = nitrogen ? rate : null,
            ProductGM2 = nitrogen ? null : rate,
            WholeLawnKg = whole,
        };
    }

    private static Answer Seeded(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        var rate = SpokenMeasure.RateGM2(rest);
        var whole = SpokenMeasure.WholeKg(rest);
        return rate is null && whole is null && HasNumber(rest)
                ? said.Fault(
                    "the amount was not understood; write for example: seeded 10 lb annual rye"
                )
            : rate is <= 0 or > 200 || whole is <= 0 or > 5000
                ? said.Fault(
                    "that amount of seed cannot be right; write for example: seeded 10 lb annual rye"
                )
            : new Did(JournalKind.Seeded, said.Day)
            {
                Amount = rate,
                WholeLawnKg = whole,
                Grass = SpokenGrass.Find(rest),
            };
    }

    private static Answer Watered(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        var minutes = SpokenMeasure.Minutes(rest);
        var depth = minutes is null ? SpokenMeasure.DepthMm(rest, said.Units) : null;
        return minutes is null && depth is null && HasNumber(rest)
                ? said.Fault(
                    "the amount was not understood; write for example: watered 0.5 in, or: watered 20 min"
                )
            : depth is <= 0 or > 200 || minutes is <= 0 or > 1440
                ? said.Fault(
                    "that much water cannot be right; write for example: watered 0.5 in, or: watered 20 min"
                )
            : new Did(JournalKind.Watered, said.Day) { Amount = depth, Minutes = minutes };
    }

    private static Answer Soil(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        var time = Said.Time(ref rest);
        return SpokenMeasure.TemperatureC(rest, said.Units) switch
        {
            null => said.Fault("the temperature was not understood; write for example: soil 61 F"),
            < -30 or > 60 => said.Fault(
                "that soil temperature cannot be right; write for example: soil 61 F"
            ),
            { } celsius => new Did(JournalKind.SoilMeasured, said.Day)
            {
                Amount = celsius,
                Time = time ?? (said.Day == said.Now.Date ? said.Now.TimeOfDay : null),
            },
        };
    }

    private static Answer Germinated(Said said) =>
        said.Date(out var rest) is { Fault: { } fault }
            ? fault
            : new Did(JournalKind.Germinated, said.Day) { Grass = SpokenGrass.Find(rest) };

    private static Answer PauseUntil(Said said)
    {
        var (date, rest) = SpokenDate.Find(said.Line, said.Now.Date, ahead: true);
        if (date is null && HasNumber(rest))
        {
            return said.Fault("the day was not understood; write for example: pause until Jan 10");
        }

        return date <= said.Now.Date
                ? said.Fault(
                    $"{date:uuuu-MM-dd} is not after today; write for example: pause until Jan 10"
                )
            : date > said.Now.Date.PlusYears(1)
                ? said.Fault(
                    $"{date:uuuu-MM-dd} is more than a year ahead; write a nearer day, or: stop"
                )
            : new Pause(date);
    }

    private static Answer Setting(Said said)
    {
        var match = SettingForm().Match(said.Line);
        return
            match.Success
            && LawnWords.All.Any(w =>
                w.Name.Equals(match.Groups[1].Value, StringComparison.OrdinalIgnoreCase)
            )
            ? new Change(match.Groups[1].Value.ToLowerInvariant(), match.Groups[2].Value.Trim())
            : said.Fault(
                $"write what to set and to what, for example: set height 2 in. What can be set: {string.Join(", ", LawnWords.All.Select(w => w.Name))}"
            );
    }

    private static bool HasNumber(string text) => SpokenNumber.All(text).Any();

    [GeneratedRegex(
        @"\s*;\s*|\.\s+(?=\p{L})",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Separator();

    [GeneratedRegex(
        @"(?<![\d.])(?<1>\d{1,3}(?:\.\d{1,2})?)\s?-\s?(?<2>\d{1,3}(?:\.\d{1,2})?)\s?-\s?(?<3>\d{1,3}(?:\.\d{1,2})?)(?![\d-])",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex GradeForm();

    [GeneratedRegex(
        @"\b(n|nitrogen)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex NitrogenForm();

    [GeneratedRegex(
        @"^\W*set\s+(?:my\s+|the\s+)?(?<1>[a-z-]+)\s*(?:to\b|=|:)?\s*(?<2>.+)$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex SettingForm();
}
