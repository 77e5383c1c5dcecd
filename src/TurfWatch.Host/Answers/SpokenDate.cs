using System.Globalization;
using System.Text.RegularExpressions;
using NodaTime;

namespace TurfWatch.Host.Answers;

/// <summary>A day as people write it, seen from today at the lawn.</summary>
internal static partial class SpokenDate
{
    // So long ago, a bare "3/4" is more likely a part of an inch than a day.
    private const int DoubtfulDays = 14;

    private static readonly LocalDate AnyDay = new(2026, 1, 15);

    /// <summary>
    /// The day that a line names, and the line without it; today when it names none. A day of the week is the last
    /// one that was (today included), or with <paramref name="ahead"/> the next one to come; a date without a year
    /// is the nearest on that side.
    /// </summary>
    public static (LocalDate? Date, string Without) Find(
        string line,
        LocalDate today,
        bool ahead = false
    )
    {
        return Named(line, today, ahead) is var (date, match)
            ? (date, line.Remove(match.Index, match.Length))
            : (null, line);
    }

    /// <summary>The words of a line that name a day; null when it names none.</summary>
    public static string? Words(string line) => Named(line, AnyDay, false)?.Item2.Value.Trim();

    /// <summary>Whether a line speaks of a time gone by without saying which day: "last week", "a few days ago".</summary>
    public static bool IsVague(string line) => VagueForm().IsMatch(line);

    /// <summary>Whether a line names a number that may be a day of late or a part of an inch: "mowed 3/4" on March 5.</summary>
    public static bool IsDoubtful(string line, LocalDate today) =>
        BareForm().Match(line) is { Success: true } match
        && LooksLikeFraction(match)
        && Nearest(null, Int(match, 1), Int(match, 2), today, ahead: false) is { } date
        && Period.DaysBetween(date, today) <= DoubtfulDays;

    private static (LocalDate?, Match)? Named(string line, LocalDate today, bool ahead)
    {
        foreach (
            var reader in (Func<string, LocalDate, bool, (LocalDate?, Match)?>[])
                [Iso, Numeric, NamedMonth, Ago, Near, OfMonth, Weekday, Bare]
        )
        {
            if (reader(line, today, ahead) is { } found)
            {
                return found;
            }
        }

        return null;
    }

    private static (LocalDate?, Match)? Iso(string line, LocalDate today, bool ahead)
    {
        var match = IsoForm().Match(line);
        return match.Success ? (Make(Int(match, 1), Int(match, 2), Int(match, 3)), match) : null;
    }

    private static (LocalDate?, Match)? Numeric(string line, LocalDate today, bool ahead)
    {
        var match = SlashForm().Match(line);
        if (!match.Success)
        {
            return null;
        }

        var year = match.Groups[3] is { Success: true, Value: var y }
            ? int.Parse(y, CultureInfo.InvariantCulture) + (y.Length == 2 ? 2000 : 0)
            : (int?)null;
        return (Nearest(year, Int(match, 1), Int(match, 2), today, ahead), match);
    }

    private static (LocalDate?, Match)? NamedMonth(string line, LocalDate today, bool ahead)
    {
        var match = MonthForm().Match(line);
        if (!match.Success)
        {
            match = DayMonthForm().Match(line);
        }

        if (!match.Success)
        {
            return null;
        }

        var month =
            Array.FindIndex(
                CultureInfo.InvariantCulture.DateTimeFormat.AbbreviatedMonthNames,
                m =>
                    m.Length > 0
                    && match.Groups["month"].Value.StartsWith(m, StringComparison.OrdinalIgnoreCase)
            ) + 1;
        var year = match.Groups["year"] is { Success: true, Value: var y }
            ? int.Parse(y, CultureInfo.InvariantCulture)
            : (int?)null;
        var day = int.Parse(match.Groups["day"].Value, CultureInfo.InvariantCulture);
        return (Nearest(year, month, day, today, ahead), match);
    }

    private static (LocalDate?, Match)? Ago(string line, LocalDate today, bool ahead)
    {
        // Behind us only with "ago": "20 min for 3 days" is no day.
        var match = AgoForm().Match(line);
        if (!match.Success || (!ahead && !match.Groups["ago"].Success))
        {
            return null;
        }

        var count = match.Groups[1].Value.ToLowerInvariant() switch
        {
            "a" or "an" or "one" => 1,
            "two" or "couple" or "couple of" or "a couple" or "a couple of" => 2,
            "three" => 3,
            "four" => 4,
            "five" => 5,
            "six" => 6,
            "seven" => 7,
            "ten" => 10,
            var digits => int.Parse(digits, CultureInfo.InvariantCulture),
        };
        count = ahead ? count : -count;
        return (
            match.Groups[2].Value[0] switch
            {
                'w' or 'W' => today.PlusWeeks(count),
                'm' or 'M' => today.PlusMonths(count),
                _ => today.PlusDays(count),
            },
            match
        );
    }

    private static (LocalDate?, Match)? Near(string line, LocalDate today, bool ahead)
    {
        var match = NearForm().Match(line);
        return match.Success
            ? (
                match.Groups[1].Value.ToLowerInvariant() switch
                {
                    "yesterday"
                    or "yesterdays"
                    or "yday"
                    or "yest"
                    or "yesturday"
                    or "ystrday"
                    or "last night"
                    or "last evening" => today.PlusDays(-1),
                    "tomorrow" or "tmrw" or "tomorow" => today.PlusDays(1),
                    "day before yesterday" or "night before last" => today.PlusDays(-2),
                    _ => today,
                },
                match
            )
            : null;
    }

    private static (LocalDate?, Match)? Weekday(string line, LocalDate today, bool ahead)
    {
        var match = WeekdayForm().Match(line);
        if (!match.Success)
        {
            return null;
        }

        var day = Enum.GetValues<IsoDayOfWeek>()
            .First(d =>
                d != IsoDayOfWeek.None
                && d.ToString()
                    .StartsWith(match.Groups["name"].Value[..3], StringComparison.OrdinalIgnoreCase)
            );
        return (
            ahead ? today.Next(day)
            : today.DayOfWeek == day && !match.Groups["last"].Success ? today
            : today.Previous(day),
            match
        );
    }

    // "the 22nd", of this month or the one before it (or, ahead, after it).
    private static (LocalDate?, Match)? OfMonth(string line, LocalDate today, bool ahead)
    {
        var match = OfMonthForm().Match(line);
        if (!match.Success)
        {
            return null;
        }

        var day = Int(match, 1);
        var month = new LocalDate(today.Year, today.Month, 1);
        var date = Make(month.Year, month.Month, day);
        var other = month.PlusMonths(ahead ? 1 : -1);
        return (
            date is { } this_ && (ahead ? this_ > today : this_ <= today)
                ? date
                : Make(other.Year, other.Month, day),
            match
        );
    }

    // "mowed 11/22": month and day with nothing that makes a measure of them. The other way about where it can only be so.
    private static (LocalDate?, Match)? Bare(string line, LocalDate today, bool ahead)
    {
        var match = BareForm().Match(line);
        if (
            !match.Success
            || (
                LooksLikeFraction(match)
                && !SpokenNumber.All(line.Remove(match.Index, match.Length)).Any()
            )
        )
        {
            return null;
        }

        var (first, second) = (Int(match, 1), Int(match, 2));
        return (
            first > 12
                ? Nearest(null, second, first, today, ahead)
                : Nearest(null, first, second, today, ahead),
            match
        );
    }

    // A part of an inch or a pound: halves to sixteenths, in lowest terms.
    private static bool LooksLikeFraction(Match match) =>
        (Int(match, 1), Int(match, 2)) switch
        {
            (1, 2 or 3) or (2, 3) => true,
            var (top, bottom) => bottom is 4 or 8 or 16 && top < bottom && top % 2 == 1,
        };

    private static LocalDate? Nearest(int? year, int month, int day, LocalDate today, bool ahead)
    {
        if (year is { } told)
        {
            return Make(told, month, day);
        }

        if (Make(today.Year, month, day) is not { } date)
        {
            return null;
        }

        return (ahead, date > today) switch
        {
            (false, true) => Make(today.Year - 1, month, day),
            (true, false) => Make(today.Year + 1, month, day),
            _ => date,
        };
    }

    private static LocalDate? Make(int year, int month, int day) =>
        year is >= 1 and <= 9998
        && month is >= 1 and <= 12
        && day >= 1
        && day <= CalendarSystem.Iso.GetDaysInMonth(year, month)
            ? new(year, month, day)
            : null;

    private static int Int(Match match, int group) =>
        int.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex(
        @"\b(?:on\s+)?(?<1>[0-9]{4})-(?<2>[0-9]{1,2})-(?<3>[0-9]{1,2})\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex IsoForm();

    // Not a fraction of an inch ("3/4 in", "2 1/2"): a year, or a month and a day that stand alone after "on".
    [GeneratedRegex(
        @"(?:\bon\s+(?<1>[0-9]{1,2})/(?<2>[0-9]{1,2})(?:/(?<3>[0-9]{4}|[0-9]{2}))?\b(?!\s*(?:in\b|inch|""))|(?<![0-9/.])(?<1>[0-9]{1,2})/(?<2>[0-9]{1,2})/(?<3>[0-9]{4}|[0-9]{2})\b)",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex SlashForm();

    [GeneratedRegex(
        @"\b(?:on\s+)?(?<month>jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?\s+(?<day>[0-9]{1,2})(?:st|nd|rd|th)?\b(?:,?\s+(?<year>[0-9]{4})\b)?",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex MonthForm();

    [GeneratedRegex(
        @"\b(?:on\s+)?(?:the\s+)?(?<day>[0-9]{1,2})(?:st|nd|rd|th)?\s+(?:of\s+)?(?<month>jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\b(?:,?\s+(?<year>[0-9]{4})\b)?",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex DayMonthForm();

    [GeneratedRegex(
        @"\b(?:in\s+|for\s+)?(?:about\s+)?(?<1>[0-9]{1,3}|an?|one|(?:a\s)?couple(?:\sof)?|two|three|four|five|six|seven|ten)\s+(?<2>days?|weeks?|wks?|months?)(?:\s+(?<ago>ago|back))?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AgoForm();

    [GeneratedRegex(
        @"\b(?<1>day before yesterday|night before last|yesterdays?|yday|yest|yesturday|ystrday|last (?:night|evening)|tomorr?ow|tmrw|today|2day|this (?:morning|afternoon|evening|am|pm)|tonight|tonite|just now)(?:\s+(?:morning|afternoon|evening|night|am|pm))?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex NearForm();

    // Not "3rd notch" or "2nd time".
    [GeneratedRegex(
        @"\b(?:on|until|till?|'til|thru|through|the)\s+(?:the\s+)?(?<1>[0-9]{1,2})(?:st|nd|rd|th)\b(?!\s+(?:time|cut|mow|pass|notch|setting|position|hole|feeding|round|application))",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex OfMonthForm();

    [GeneratedRegex(
        @"(?<![0-9/.,-]|[0-9]\s)(?<1>[0-9]{1,2})/(?<2>[0-9]{1,2})(?![0-9/])(?=\s*(?:$|[,:;.)!-]|(?:at|to|on|w|with|we|i|it|mow\w*|cut|fed|feed|fert\w*|seed\w*|over\w*|water\w*|soil|aer\w*)\b|@|[0-9]))",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex BareForm();

    [GeneratedRegex(
        @"\b(?:(?:last|this|past|the other|other|previous)\s+(?:week(?:end)?|month|day|couple)(?!\s+(?:mon|tue|wed|thu|fri|sat|sun))|(?:over|on) the weekend|weekend|(?:a\s+)?few (?:days|weeks)|while ago|recently|earlier this|every (?:other )?(?:day|morning|night|evening)|each (?:day|morning|night|evening)|daily|(?:a|per) (?:day|week)|for (?:\S+ )?(?:days|weeks))\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex VagueForm();

    [GeneratedRegex(
        @"\b(?:on\s+|until\s+)?(?<last>last\s+)?(?<name>mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex WeekdayForm();
}
