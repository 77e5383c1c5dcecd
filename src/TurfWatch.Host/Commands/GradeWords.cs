using System.Globalization;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>The three numbers of a fertilizer label as people type them.</summary>
internal static class GradeWords
{
    public static FertilizerGrade? Read(string name, string text, ICollection<string> faults)
    {
        var parts = text.Trim().Split('-');
        var numbers = new double[3];
        var read =
            parts.Length == 3
            && Enumerable
                .Range(0, 3)
                .All(i =>
                    double.TryParse(
                        parts[i],
                        NumberStyles.AllowDecimalPoint,
                        CultureInfo.InvariantCulture,
                        out numbers[i]
                    )
                );
        if (read && numbers.Sum() is > 0 and <= 100)
        {
            return new(numbers[0], numbers[1], numbers[2]);
        }

        faults.Add(
            read
                ? $"{name} is '{text}', whose numbers add up to {AmountText.Number(numbers.Sum())}; they are percentages of one product: more than 0 and at most 100 together."
                : $"{name} is '{text}'; write the three numbers on the label with dashes between them, for example 16-4-8."
        );
        return null;
    }
}
