using System.Globalization;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Host.Commands;

/// <summary>Reads single values as people type them. Each returns null and adds a sentence when it cannot.</summary>
internal static class Words
{
    private static readonly LocalDate Oldest = new(2000, 1, 1);

    public static T? OneOf<T>(string name, string text, ICollection<string> faults)
        where T : struct, Enum
    {
        var plain = Plain(text);
        foreach (var value in Enum.GetValues<T>())
        {
            if (Plain(value.ToString()) == plain)
            {
                return value;
            }
        }

        var choices = string.Join(", ", Enum.GetValues<T>().Select(v => Kebab(v.ToString())));
        faults.Add($"{name} is '{text}'; write one of {choices}.");
        return null;
    }

    public static bool? YesNo(string name, string text, ICollection<string> faults)
    {
        switch (text.Trim().ToUpperInvariant())
        {
            case "YES" or "TRUE" or "Y":
                return true;
            case "NO" or "FALSE" or "N":
                return false;
            default:
                faults.Add($"{name} is '{text}'; write yes or no.");
                return null;
        }
    }

    public static LocalTime? Time(string name, string text, ICollection<string> faults)
    {
        var parsed = LocalTimePattern.CreateWithInvariantCulture("H:mm").Parse(text.Trim());
        if (parsed.Success)
        {
            return parsed.Value;
        }

        faults.Add(
            $"{name} is '{text}'; write a time of day from 00:00 to 23:59, for example 06:30."
        );
        return null;
    }

    public static LocalDate? Date(string name, string text, ICollection<string> faults)
    {
        var parsed = LocalDatePattern.Iso.Parse(text.Trim());
        if (parsed.Success)
        {
            return parsed.Value;
        }

        faults.Add($"{name} is '{text}'; write a date as year-month-day, for example 2026-05-31.");
        return null;
    }

    /// <summary>A date of something that was done or measured: none of another age, which is a slip of the pen.</summary>
    public static LocalDate? PastDate(string name, string text, ICollection<string> faults)
    {
        if (Date(name, text, faults) is not { } date)
        {
            return null;
        }

        if (date >= Oldest)
        {
            return date;
        }

        faults.Add(
            $"{name} is '{text}', long before there was anything to write down; check the year (from {Oldest:uuuu-MM-dd} on)."
        );
        return null;
    }

    public static Instant? Instant(string name, string text, ICollection<string> faults)
    {
        var parsed = OffsetDateTimePattern.ExtendedIso.Parse(text.Trim());
        if (parsed.Success)
        {
            return parsed.Value.ToInstant();
        }

        faults.Add(
            $"{name} is '{text}'; write an instant with its offset, for example 2026-05-31T11:00:00Z or 2026-05-31T06:00:00-05:00."
        );
        return null;
    }

    public static IReadOnlyList<IsoDayOfWeek> Days(
        string name,
        string text,
        ICollection<string> faults
    )
    {
        var days = new SortedSet<IsoDayOfWeek>();
        foreach (var word in text.Split([',', ' '], StringSplitOptions.RemoveEmptyEntries))
        {
            var found = Enum.GetValues<IsoDayOfWeek>()
                .Where(d =>
                    d != IsoDayOfWeek.None
                    && word.Length >= 3
                    && d.ToString().StartsWith(word, StringComparison.OrdinalIgnoreCase)
                )
                .ToArray();
            if (found.Length == 1)
            {
                days.Add(found[0]);
            }
            else
            {
                faults.Add(
                    $"{name} holds '{word}'; write days by their first three letters, for example mon,wed,sat."
                );
            }
        }

        return [.. days];
    }

    /// <summary>A number with its unit; <paramref name="units"/> gives for each unit what turns it into ours.</summary>
    public static double? Measure(
        string name,
        string text,
        IReadOnlyDictionary<string, Func<double, double>> units,
        (double Least, double Most) range,
        string example,
        ICollection<string> faults
    )
    {
        var trimmed = text.Trim();
        var end = 0;
        while (
            end < trimmed.Length
            && (char.IsAsciiDigit(trimmed[end]) || ".-+".Contains(trimmed[end]))
        )
        {
            end++;
        }

        var unit = trimmed[end..].Replace(" ", "", StringComparison.Ordinal).ToUpperInvariant();
        if (
            !double.TryParse(
                trimmed[..end],
                NumberStyles.Float,
                CultureInfo.InvariantCulture,
                out var number
            ) || !units.TryGetValue(unit, out var convert)
        )
        {
            faults.Add(
                units.ContainsKey("")
                    ? $"{name} is '{text}'; write a number, for example {example}."
                    : $"{name} is '{text}'; write a number and its unit ({string.Join(", ", units.Keys.Select(u => u.ToLowerInvariant()))}), for example {example}."
            );
            return null;
        }

        var value = convert(number);
        if (value >= range.Least && value <= range.Most)
        {
            return value;
        }

        faults.Add(
            $"{name} is '{text}', which cannot be right; check number and unit, for example {example}."
        );
        return null;
    }

    public static string Kebab(string pascal) =>
        string.Concat(
            pascal.Select(
                (c, i) => (i > 0 && char.IsUpper(c) ? "-" : "") + char.ToLowerInvariant(c)
            )
        );

    private static string Plain(string text) =>
        new([.. text.Where(char.IsLetterOrDigit).Select(char.ToUpperInvariant)]);
}
