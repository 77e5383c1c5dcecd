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
    private const string Unknown =
        "this was not understood; write one thing a line, for example: mowed 2 in, fed 5 lb 21-0-0, watered 20 min, soil 61, or help";

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
        var closed = false;
        foreach (var line in lines.SelectMany(Parts))
        {
            var answer = One(line, now, units);
            // A greeting, a thank-you or a name below what was understood needs no reproach.
            closed |= answer is null && ClosingForm().IsMatch(line);
            if (
                answer is null
                || (
                    answer is NotUnderstood { Why: Unknown }
                    && answers.Exists(a => a is not NotUnderstood)
                    && (closed || NameForm().IsMatch(line))
                )
            )
            {
                continue;
            }

            answers.Add(answer);
        }

        return answers;
    }

    /// <summary>Whether a word means something in an answer, so that it cannot be what a lawn is called.</summary>
    public static bool Knows(string word) =>
        SpokenVerb.Knows(word)
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

        if (SaidCommands.Wish(line) is { } wish)
        {
            return wish;
        }

        var verb = SpokenVerb.Of(line, words, now.Date);
        var deed = verb?.Deed ?? SpokenVerb.SpeaksOfDeed(words);
        if (deed && Unreal.Why(line) is { } why)
        {
            return new NotUnderstood(line, why);
        }

        return verb is null ? new NotUnderstood(line, Hint(line) ?? Unknown)
            : deed && SpokenVerb.IsTwo(line)
                ? new NotUnderstood(
                    line,
                    "these are two things; write them in two lines, for example: mowed 2 in, and below it: watered 20 min"
                )
            : verb.Value.Read(new Said(line, words, now, units));
    }

    /// <summary>How to get what people ask for that no answer does; null when it is nothing we know.</summary>
    public static string? Hint(string line) =>
        RainForm().IsMatch(line)
            ? "rain is taken from the weather service, so it need not be told; write what your sprinklers gave, for example: watered 0.5 in"
        : DataForm().IsMatch(line)
            ? "all that is kept of you is shown and erased on your lawn's page, linked below; to leave only, write: stop"
        : AddressForm().IsMatch(line)
            ? "an address is not changed but joined: write to us from the new one, and stop from the old one"
        : null;

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
        "there",
        "thx",
        "ty",
        "tks",
        "cool",
        "nice",
        "job",
        "perfect",
        "will",
        "do",
        "for",
        "the",
        "info",
        "sounds",
        "so",
        "guys",
        "all",
        "everyone",
        "afternoon",
        "evening",
        "sincerely",
        "kind",
        "warm",
        "noted",
        "awesome",
    ];

    /// <summary>The single things that a line says.</summary>
    public static IEnumerable<string> Parts(string line) =>
        Separator()
            .Split(line)
            .SelectMany(SpokenVerb.Clauses)
            .Select(p => p.Trim())
            .Where(p => p.Length > 0);

    /// <summary>The words of a line in lower case, numbers in digits.</summary>
    public static string[] Words(string line) =>
        [
            .. SpokenNumber
                .Plain(line)
                .Split(
                    [' ', ',', ';', ':', '.', '!', '(', ')', '\u2014'],
                    StringSplitOptions.RemoveEmptyEntries
                ),
        ];

    [GeneratedRegex(
        @"\s*;\s*|\.\s+(?=\p{L})",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Separator();

    [GeneratedRegex(
        @"\b(thanks|thank|thx|regards|best|cheers|sincerely)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex ClosingForm();

    [GeneratedRegex(
        @"\brain(ed|fall)?\b.*[0-9]|[0-9].*\brain(fall)?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex RainForm();

    [GeneratedRegex(
        @"\b(delete|erase|remove|export|download)\b.*\b(data|everything|account|information|info)\b|\bgdpr\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex DataForm();

    [GeneratedRegex(
        @"\b(new|change|different|other|update)\b.*\be?-?mail\b|\S@\S+\.\S",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AddressForm();

    // "Bob", "Ann Lee", a telephone number.
    [GeneratedRegex(
        @"^\W*(\p{Lu}[\p{L}'.-]{0,20}\s*){1,3}$|^[0-9() .+-]{7,20}$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex NameForm();
}
