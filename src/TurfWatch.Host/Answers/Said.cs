using System.Globalization;
using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>One line of an answer and from where it is to be seen.</summary>
internal sealed partial record Said(
    string Line,
    string[] Words,
    LocalDateTime Now,
    UnitSystem Units
)
{
    // Before this nobody's journal begins; and a slip of the year is caught.
    private const int OldestDays = 400;

    /// <summary>The day it speaks of, once <see cref="Date"/> has found it.</summary>
    public LocalDate Day { get; private set; } = Now.Date;

    /// <summary>Finds the day; the rest is the line without it.</summary>
    public (LocalDate Date, NotUnderstood? Fault) Date(out string rest)
    {
        (var date, rest) = SpokenDate.Find(Line, Now.Date);
        if (date is null && rest != Line)
        {
            return (Day, Fault("there is no such day; write for example: mowed yesterday"));
        }

        if (date is null && SpokenDate.IsVague(Line))
        {
            return (
                Day,
                Fault("which day was that? Write for example: mowed saturday, or: mowed nov 20")
            );
        }

        if (date is null && SpokenDate.IsDoubtful(Line, Now.Date))
        {
            return (
                Day,
                Fault(
                    "that could be a day or a size; write for example: mowed mar 4, or: mowed 3/4 in"
                )
            );
        }

        if (date is not null && SpokenDate.Find(rest, Now.Date).Date is { } other && other != date)
        {
            return (
                Day,
                Fault(
                    "two days are named; write one line for each, for example: watered 20 min monday"
                )
            );
        }

        Day = date ?? Now.Date;
        return Day > Now.Date
                ? (Day, Fault($"{Day:uuuu-MM-dd} is still to come; write it when it is done"))
            : Day < Now.Date.PlusDays(-OldestDays)
                ? (Day, Fault($"{Day:uuuu-MM-dd} is more than a year ago; check the date"))
            : (Day, null);
    }

    /// <summary>A time of day in the line, which is taken out of it; null when there is none.</summary>
    public static LocalTime? Time(ref string rest)
    {
        var match = TimeForm().Match(rest);
        if (!match.Success)
        {
            return null;
        }

        var hour = int.Parse(match.Groups["h"].Value, CultureInfo.InvariantCulture);
        var minute = match.Groups["m"] is { Success: true, Value: var m }
            ? int.Parse(m, CultureInfo.InvariantCulture)
            : 0;
        var half = match.Groups["half"].Value.ToLowerInvariant();
        if (half.Length > 0 && hour is < 1 or > 12 || hour > 23 || minute > 59)
        {
            return null;
        }

        rest = rest.Remove(match.Index, match.Length);
        return new LocalTime(
            half switch
            {
                "p" => (hour % 12) + 12,
                "a" => hour % 12,
                _ => hour,
            },
            minute
        );
    }

    public NotUnderstood Fault(string why) => new(Line, why);

    [GeneratedRegex(
        @"\b(?:at\s+)?(?:(?<h>[0-9]{1,2}):(?<m>[0-9]{2})\s*(?:(?<half>[ap])\.?m\.?)?|(?<h>[0-9]{1,2})\s*(?<half>[ap])\.?m\.?)(?![a-z0-9])",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex TimeForm();
}
