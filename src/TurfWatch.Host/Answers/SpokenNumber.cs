using System.Globalization;
using System.Text.RegularExpressions;

namespace TurfWatch.Host.Answers;

/// <summary>A number as people write it: 2, 2.5, 2 1/2, 2½, 1/4, two and a half.</summary>
internal static partial class SpokenNumber
{
    private static readonly Dictionary<string, double> Words = new(StringComparer.Ordinal)
    {
        ["a"] = 1,
        ["an"] = 1,
        ["one"] = 1,
        ["two"] = 2,
        ["three"] = 3,
        ["four"] = 4,
        ["five"] = 5,
        ["six"] = 6,
        ["seven"] = 7,
        ["eight"] = 8,
        ["nine"] = 9,
        ["ten"] = 10,
        ["half"] = 0.5,
        ["quarter"] = 0.25,
    };

    private static readonly Dictionary<char, string> Fractions = new()
    {
        ['½'] = "1/2",
        ['¼'] = "1/4",
        ['¾'] = "3/4",
        ['⅓'] = "1/3",
        ['⅔'] = "2/3",
        ['⅛'] = "1/8",
        ['⅜'] = "3/8",
        ['⅝'] = "5/8",
        ['⅞'] = "7/8",
    };

    /// <summary>Every number in a line with what follows it up to the next number, in lower case.</summary>
    public static IEnumerable<(double Value, string Unit)> All(string line)
    {
        var matches = Number().Matches(Plain(line));
        foreach (Match match in matches)
        {
            if (Value(match) is { } value)
            {
                yield return (value, match.Groups["unit"].Value.Trim());
            }
        }
    }

    /// <summary>Fractions and number words in digits, lower case.</summary>
    public static string Plain(string line)
    {
        var text = string.Concat(
                line.ToLowerInvariant()
                    .Select(c => Fractions.TryGetValue(c, out var f) ? " " + f : c.ToString())
            )
            .Replace('−', '-')
            .Replace('’', '\'')
            .Replace("''", "\"", StringComparison.Ordinal)
            .Replace('”', '"')
            .Replace('″', '"');
        text = HourAndAHalf().Replace(text, "1 1/2 ${unit}");
        text = Half().Replace(text, " 1/2");
        text = ThreeQuarters().Replace(text, "3/4");
        text = PoundSign().Replace(text, " lb ");
        return WordNumber()
            .Replace(
                text,
                m =>
                    Words[m.Groups[1].Value].ToString(CultureInfo.InvariantCulture)
                    + m.Groups[2].Value
            );
    }

    private static double? Value(Match match)
    {
        double sum = 0;
        if (match.Groups["whole"] is { Success: true, Value: var whole })
        {
            // A comma before three digits parts thousands, any other is a decimal comma.
            var digits = Thousands().IsMatch(whole)
                ? whole.Replace(",", "", StringComparison.Ordinal)
                : whole.Replace(',', '.');
            if (
                !double.TryParse(
                    digits,
                    NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign,
                    CultureInfo.InvariantCulture,
                    out sum
                )
            )
            {
                return null;
            }
        }

        if (match.Groups["top"].Success)
        {
            var top = double.Parse(match.Groups["top"].Value, CultureInfo.InvariantCulture);
            var bottom = double.Parse(match.Groups["bottom"].Value, CultureInfo.InvariantCulture);
            if (bottom == 0)
            {
                return null;
            }

            sum += Math.CopySign(top / bottom, sum < 0 ? -1 : 1);
        }

        return double.IsFinite(sum) ? sum : null;
    }

    [GeneratedRegex(
        """(?<![0-9/.,])(?:(?<top>[0-9]{1,2})/(?<bottom>[0-9]{1,2})(?![0-9/])|(?<whole>-?[0-9]{1,7}(?:[.,][0-9]{1,6})*|\.[0-9]{1,6})(?:(?:\s+|-)(?<top>[0-9]{1,2})/(?<bottom>[0-9]{1,2})(?![0-9/]))?)\s*(?<unit>[a-z"'°%][a-z"'°%/\s.]*)?""",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Number();

    [GeneratedRegex(
        @"^-?[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Thousands();

    [GeneratedRegex(
        @"\b(an?|one)\s+(?<unit>hour|inch|pound)\s+and\s+a\s+half\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex HourAndAHalf();

    [GeneratedRegex(
        @"\bthree[\s-]+quarters?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex ThreeQuarters();

    // "5# of 21-0-0".
    [GeneratedRegex(
        @"(?<=[0-9])\s?#",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex PoundSign();

    [GeneratedRegex(
        @"\s+and\s+a\s+half\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Half();

    [GeneratedRegex(
        """\b(?<1>one|two|three|four|five|six|seven|eight|nine|ten|half|quarter|an|a)(?<2>\s+(?:1/2\b|inch|inches|in\b|"|cm|mm|pounds?|lbs?|hours?|minutes?|min\b|days?|weeks?|(?:of\s+)?an?\s+(?:inch|hour|pound|lb\b|kilo|kg\b)))""",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex WordNumber();
}
