using System.Collections.Immutable;
using System.Text.RegularExpressions;
using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>The lines of an answer that are about one lawn.</summary>
/// <param name="Lines">They, without the words that name the lawn.</param>
/// <param name="Unclear">Lines that could be about this lawn or another, and those that name none of the owner's.</param>
internal sealed record LawnLines(
    Lawn Lawn,
    ImmutableArray<string> Lines,
    ImmutableArray<NotUnderstood> Unclear
);

/// <summary>
/// Which of an owner's lawns each line of an answer is about: the one it names by ZIP code or by name, else the one that
/// the line before it named alone, else the one whose message is answered. What fits two lawns is done to neither.
/// </summary>
internal static partial class LawnsNamed
{
    // Words in a lawn's name that name nothing.
    private static readonly string[] Plain =
    [
        "lawn",
        "lawns",
        "yard",
        "grass",
        "turf",
        "garden",
        "the",
        "my",
        "our",
        "and",
        "new",
        "old",
    ];

    public static ImmutableArray<LawnLines> Of(
        IEnumerable<string> lines,
        ImmutableArray<Lawn> lawns,
        Lawn answered
    )
    {
        var said = lawns.ToDictionary(l => l.Id, _ => new List<string>());
        var unclear = new List<NotUnderstood>();
        var names = Names(lawns);
        var heading = answered;
        foreach (var line in lines)
        {
            var current = heading;
            foreach (var part in AnswerReader.Parts(line))
            {
                var (found, rest, fault) = Named(part, lawns, names);
                if (fault is not null)
                {
                    unclear.Add(fault);
                    continue;
                }

                current = found ?? current;
                if (rest.Any(char.IsLetterOrDigit) || rest.Contains('?', StringComparison.Ordinal))
                {
                    said[current.Id].Add(rest);
                }
                else if (found is not null)
                {
                    heading = found;
                }
            }
        }

        return
        [
            .. lawns
                .Where(l => said[l.Id].Count > 0 || l.Id == answered.Id)
                // The one that is answered first.
                .OrderBy(l => l.Id != answered.Id)
                .Select(l => new LawnLines(
                    l,
                    [.. said[l.Id]],
                    l.Id == answered.Id ? [.. unclear] : []
                )),
        ];
    }

    private static (Lawn? Lawn, string Left, NotUnderstood? Fault) Named(
        string part,
        ImmutableArray<Lawn> lawns,
        IReadOnlyList<(string Name, Lawn Lawn)> names
    )
    {
        if (AddForm().IsMatch(part))
        {
            return (null, part, null);
        }

        var fit = lawns;
        var rest = part;
        if (ZipForm().Match(rest) is { Success: true } zip)
        {
            fit = [.. lawns.Where(l => l.Place.Zip == zip.Groups["zip"].Value)];
            rest = Spaces().Replace(rest.Remove(zip.Index, zip.Length), " ").Trim();
            if (fit.IsEmpty)
            {
                return (
                    null,
                    rest,
                    new(
                        part,
                        $"you have no lawn in {zip.Groups["zip"].Value}; yours: {List(lawns)}"
                    )
                );
            }
        }

        // The longest name that is said decides: "front north" before "front".
        var called = names.Where(n => Form(n.Name).IsMatch(rest)).ToList();
        if (called.Count > 0)
        {
            var longest = called.Max(n => n.Name.Length);
            var meant = called.Where(n => n.Name.Length == longest).ToList();
            fit = [.. fit.Where(l => meant.Any(m => m.Lawn.Id == l.Id))];
            rest = Spaces().Replace(Form(meant[0].Name).Replace(rest, " ", 1), " ").Trim();
        }

        return fit.Length switch
        {
            1 when lawns.Length > 1 || fit.Length < lawns.Length || rest.Length < part.Length => (
                fit[0],
                rest,
                null
            ),
            0 => (
                null,
                rest,
                new(part, $"name and ZIP code are not of one lawn; yours: {List(lawns)}")
            ),
            _ when rest.Length < part.Length => (
                null,
                rest,
                new(
                    part,
                    $"this could be more than one of your lawns; begin the line with one of: {List(lawns)}"
                )
            ),
            _ => (null, rest, null),
        };
    }

    /// <summary>The lawns as one can name them.</summary>
    public static string List(ImmutableArray<Lawn> lawns) =>
        string.Join(", ", lawns.Select(l => $"{l.Name} ({l.Place.Zip})"));

    private static List<(string Name, Lawn Lawn)> Names(ImmutableArray<Lawn> lawns)
    {
        var names = new List<(string, Lawn)>();
        foreach (var lawn in lawns)
        {
            var whole = WordForm()
                .Matches(lawn.Name.ToLowerInvariant())
                .Select(m => m.Value)
                .ToList();
            if (whole.Exists(w => !Plain.Contains(w) && !AnswerReader.Knows(w)))
            {
                names.Add((string.Join(' ', whole), lawn));
            }

            names.AddRange(
                whole
                    .Where(w => w.Length > 2 && !Plain.Contains(w) && !AnswerReader.Knows(w))
                    .Select(w => (w, lawn))
            );
        }

        return names;
    }

    private static Regex Form(string name) =>
        new(
            $@"\b(?:(?:on|in|at|of|for|the|my|our)\s+)*{string.Join(@"\W+", name.Split(' ').Select(Regex.Escape))}(?:\s+(?:lawn|yard|grass|one))?\b\s*[:,-]?",
            RegexOptions.IgnoreCase | RegexOptions.CultureInvariant,
            TimeSpan.FromSeconds(1)
        );

    // At the start of the line, or after a word that says where.
    [GeneratedRegex(
        @"(^\W*|\b(in|at|for)\s+)(zip\s+)?(?<zip>[0-9]{5})(-[0-9]{4})?\b(?!\s*(sq|m2|kg|lb))\s*[:,-]?",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex ZipForm();

    [GeneratedRegex(
        @"^\W*(please\s+)?(add|new\s+lawn|another\s+lawn)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AddForm();

    [GeneratedRegex(@"\s+", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex Spaces();

    [GeneratedRegex(@"[\p{L}\p{N}']+", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex WordForm();
}
