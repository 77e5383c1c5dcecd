using System.Globalization;
using System.Text.RegularExpressions;
using NodaTime;

namespace TurfWatch.Host.Answers;

/// <summary>Which messages, when, and on which days: "no alerts", "digest only", "morning at 6:15", "days mon wed sat".</summary>
internal static partial class SpokenWishes
{
    private static readonly Dictionary<string, Kinds> KindOf = new(StringComparer.Ordinal)
    {
        ["morning"] = Kinds.Morning,
        ["mornings"] = Kinds.Morning,
        ["daily"] = Kinds.Morning,
        ["alert"] = Kinds.Alerts,
        ["alerts"] = Kinds.Alerts,
        ["digest"] = Kinds.Digest,
        ["digests"] = Kinds.Digest,
        ["weekly"] = Kinds.Digest,
        ["all"] = Kinds.All,
        ["everything"] = Kinds.All,
    };

    private static readonly string[] Off =
    [
        "no",
        "off",
        "stop",
        "without",
        "disable",
        "cancel",
        "end",
    ];
    private static readonly string[] On = ["on", "yes", "want", "enable", "start", "send"];

    // Words that say nothing here. Any other word makes the line something else.
    private static readonly string[] Filler =
    [
        "i",
        "me",
        "the",
        "my",
        "of",
        "for",
        "turn",
        "turned",
        "please",
        "more",
        "again",
        "message",
        "messages",
        "mail",
        "mails",
        "email",
        "emails",
        "e-mail",
        "e-mails",
        "summary",
        "get",
        "kinds",
        "thanks",
    ];

    [Flags]
    private enum Kinds
    {
        None = 0,
        Morning = 1,
        Alerts = 2,
        Digest = 4,
        All = Morning | Alerts | Digest,
    }

    /// <summary>The wish; null when the line is none.</summary>
    public static Answer? Read(string line) => Hour(line) ?? Days(line) ?? Which(line);

    /// <summary>Whether a word means something in a wish.</summary>
    public static bool Knows(string word) =>
        KindOf.ContainsKey(word)
        || word is "only"
        || Off.Contains(word, StringComparer.Ordinal)
        || On.Contains(word, StringComparer.Ordinal);

    private static Answer? Which(string line)
    {
        var (on, off) = (Kinds.None, Kinds.None);
        var (named, only, all) = (false, false, false);
        var waiting = Kinds.None;
        bool? sign = null;
        foreach (var clause in Clauses().Split(line.Trim().TrimEnd('.', '!')))
        {
            var words = clause
                .ToLowerInvariant()
                .Split([' ', ':', '(', ')', '\t', '\u00a0'], StringSplitOptions.RemoveEmptyEntries);
            var kinds = Kinds.None;
            bool? own = null;
            foreach (var word in words)
            {
                if (KindOf.TryGetValue(word, out var kind))
                {
                    kinds |= kind;
                    all |= kind == Kinds.All;
                }
                else if (word is "only" or "just")
                {
                    (only, own) = (true, true);
                }
                else if (Off.Contains(word) || On.Contains(word))
                {
                    var wanted = On.Contains(word);
                    if (own is { } other && other != wanted)
                    {
                        return null;
                    }

                    own = wanted;
                }
                else if (!Filler.Contains(word))
                {
                    return null;
                }
            }

            named |= own is not null || kinds == Kinds.All;
            sign = own ?? sign ?? (kinds == Kinds.All ? true : null);
            // "Alerts and digest off": what was named before its sign takes it.
            waiting |= kinds;
            if (sign is { } wants)
            {
                (on, off) = wants ? (on | waiting, off) : (on, off | waiting);
                waiting = Kinds.None;
            }
        }

        if (!named || waiting != Kinds.None || (on | off) == Kinds.None || (on & off) != Kinds.None)
        {
            return null;
        }

        off |= only ? Kinds.All & ~on : Kinds.None;
        return off == Kinds.All && all
            ? new Leave()
            : new Messages(Of(Kinds.Morning), Of(Kinds.Alerts), Of(Kinds.Digest));

        bool? Of(Kinds kind) =>
            on.HasFlag(kind) ? true
            : off.HasFlag(kind) ? false
            : null;
    }

    private static Answer? Hour(string line)
    {
        var match = HourForm().Match(line);
        if (!match.Success)
        {
            return null;
        }

        var hour = int.Parse(match.Groups["h"].Value, CultureInfo.InvariantCulture);
        var minute = match.Groups["m"] is { Success: true, Value: var m }
            ? int.Parse(m, CultureInfo.InvariantCulture)
            : 0;
        var half = match.Groups["half"].Value.ToLowerInvariant();
        return hour > 23 || minute > 59 || (half.Length > 0 && hour is < 1 or > 12)
            ? new NotUnderstood(
                line,
                "there is no such time of day; write for example: morning at 6:15"
            )
            : new Change(
                "time",
                new LocalTime(
                    half switch
                    {
                        "p" => (hour % 12) + 12,
                        "a" => hour % 12,
                        _ => hour,
                    },
                    minute
                ).ToString("HH:mm", CultureInfo.InvariantCulture)
            );
    }

    private static Answer? Days(string line)
    {
        var match = DaysForm().Match(line);
        if (!match.Success)
        {
            return null;
        }

        var days = DayName()
            .Matches(match.Groups["days"].Value)
            .Select(d => d.Value[..3].ToLowerInvariant())
            .Distinct(StringComparer.Ordinal)
            .ToList();
        var word =
            match.Groups["digest"].Success ? "digest"
            : match.Groups["water"].Success ? "water-days"
            : "days";
        return word == "digest" && days.Count != 1
            ? new NotUnderstood(
                line,
                "the digest comes once a week; write for example: digest on sunday"
            )
            : new Change(word, days.Count > 0 ? string.Join(',', days) : "any");
    }

    [GeneratedRegex(
        @"\s*[,;&+]\s*|\s+(and|or|but|nor)\s+",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex Clauses();

    [GeneratedRegex(
        @"^\W*(please\s+)?(send\s+)?(the\s+|my\s+)?mornings?(\s+(message|mail|e-?mail)s?)?\s*:?\s*(at|by|to|around)?\s*(?<h>[0-9]{1,2})([:.](?<m>[0-9]{2}))?\s*((?<half>[ap])\.?m\.?)?(\s+please)?\W*$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex HourForm();

    [GeneratedRegex(
        @"^\W*(please\s+)?(my\s+|the\s+)?((?<digest>(weekly\s+)?digest)|(?<water>water(ing)?[\s-]+days)|((mow(ing)?[\s-]+)?days))\s*(are|is|to|on|each|every)?\s*[:=]?\s*(?<days>((sun|mon|tues?|wed(nes)?|thu(rs)?|fri|sat(ur)?)(days?|s)?[\s,/&+]*(and\s+)?)+|any(\s+day)?|every(\s+day)?|all(\s+days)?)\W*$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex DaysForm();

    [GeneratedRegex(
        @"\b(sun|mon|tue|wed|thu|fri|sat)",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex DayName();
}
