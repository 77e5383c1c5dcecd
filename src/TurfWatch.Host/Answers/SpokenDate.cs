using System.Globalization;
using System.Text.RegularExpressions;
using NodaTime;

namespace TurfWatch.Host.Answers;

/// <summary>A day as people write it, seen from today at the lawn.</summary>
internal static partial class SpokenDate
{
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
        foreach (
            var reader in (Func<string, LocalDate, bool, (LocalDate?, Match)?>[])
                [Iso, Numeric, NamedMonth, Ago, Near, Weekday]
        )
        {
            if (reader(line, today, ahead) is var (date, match))
            {
                return (date, line.Remove(match.Index, match.Length));
            }
        }

        return (null, line);
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
        var match = AgoForm().Match(line);
        if (!match.Success)
        {
            return null;
        }

        var count = Int(match, 1) * (match.Groups[2].Value.StartsWith('w') ? 7 : 1);
        return (today.PlusDays(ahead ? count : -count), match);
    }

    private static (LocalDate?, Match)? Near(string line, LocalDate today, bool ahead)
    {
        var match = NearForm().Match(line);
        return match.Success
            ? (
                match.Groups[1].Value switch
                {
                    "yesterday" or "last night" => today.PlusDays(-1),
                    "tomorrow" => today.PlusDays(1),
                    "day before yesterday" => today.PlusDays(-2),
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
        @"(?:\bon\s+(?<1>[0-9]{1,2})/(?<2>[0-9]{1,2})(?:/(?<3>[0-9]{4}|[0-9]{2}))?\b|(?<![0-9/.])(?<1>[0-9]{1,2})/(?<2>[0-9]{1,2})/(?<3>[0-9]{4}|[0-9]{2})\b)",
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
        @"\b(?:in\s+|for\s+)?(?<1>[0-9]{1,3})\s+(?<2>days?|weeks?)(?:\s+ago)?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AgoForm();

    [GeneratedRegex(
        @"\b(?<1>day before yesterday|yesterday|last night|tomorrow|today|this morning|this afternoon|this evening|tonight|just now)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex NearForm();

    [GeneratedRegex(
        @"\b(?:on\s+|until\s+)?(?<last>last\s+)?(?<name>mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex WeekdayForm();
}
