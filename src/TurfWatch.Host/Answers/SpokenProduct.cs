using System.Globalization;
using System.Text.RegularExpressions;
using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>Fertilizers that people call by their name instead of their grade.</summary>
internal static partial class SpokenProduct
{
    // Guaranteed grades of the plain materials as extension services print them (from memory); the second is of its sulfur form.
    private static readonly (string Name, FertilizerGrade Grade)[] Names =
    [
        ("ammonium sulfate", new(21, 0, 0)),
        ("ammonium sulphate", new(21, 0, 0)),
        ("calcium nitrate", new(15.5, 0, 0)),
        ("urea", new(46, 0, 0)),
    ];

    /// <summary>The grade of the material that is named, with the line without its name; null when none is.</summary>
    public static (FertilizerGrade Grade, string Without)? Grade(string line)
    {
        if (TripleForm().Match(line) is { Success: true } triple)
        {
            var each = double.Parse(triple.Groups["n"].Value, CultureInfo.InvariantCulture);
            return each is > 0 and <= 33
                ? (new(each, each, each), line.Remove(triple.Index, triple.Length))
                : null;
        }

        // Coated urea is of many grades.
        foreach (
            var (name, grade) in Names.Where(_ =>
                !line.Contains("coated", StringComparison.OrdinalIgnoreCase)
            )
        )
        {
            var at = line.IndexOf(name, StringComparison.OrdinalIgnoreCase);
            if (at >= 0)
            {
                return (grade, line.Remove(at, name.Length));
            }
        }

        return null;
    }

    // "Triple 15" is 15-15-15.
    [GeneratedRegex(
        @"\btriple[\s-]+(?<n>[0-9]{1,2})\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex TripleForm();
}
