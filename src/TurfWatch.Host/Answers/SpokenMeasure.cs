using System.Globalization;
using System.Text.RegularExpressions;
using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>Finds in a line the one number of the kind that is asked for, with the unit that was written or the one that the owner uses.</summary>
internal static partial class SpokenMeasure
{
    /// <summary>Height of cut [cm].</summary>
    public static double? HeightCm(string line, UnitSystem units) =>
        First(
            line,
            unit =>
                unit switch
                {
                    "in" or "ins" or "inch" or "inches" or "inchs" or "inces" or "\"" =>
                        Customary.InchCm,
                    "cm" or "centimeters" or "centimetres" => 1,
                    "mm" => 0.1,
                    "ft" or "feet" or "foot" or "'" => Customary.FootCm,
                    "" => units == UnitSystem.UsCustomary ? Customary.InchCm : 1,
                    _ => null,
                }
        );

    /// <summary>Depth of water [mm].</summary>
    public static double? DepthMm(string line, UnitSystem units) =>
        First(
            line,
            unit =>
                unit switch
                {
                    "in" or "ins" or "inch" or "inches" or "inchs" or "inces" or "\"" =>
                        Customary.InchMm,
                    "cm" => 10,
                    "mm" or "millimeters" or "millimetres" => 1,
                    "" => units == UnitSystem.UsCustomary ? Customary.InchMm : 1,
                    _ => null,
                }
        );

    /// <summary>Minutes of sprinkling, "1 hr 15 min" and "3x 10 min" reckoned together.</summary>
    public static double? Minutes(string line)
    {
        var told = SpokenNumber.All(line).ToList();
        var hours = First(told, u => u is "h" or "hr" or "hrs" or "hour" or "hours" ? 60 : null);
        var minutes = First(
            told,
            u =>
                u is "min" or "mins" or "minute" or "minutes" or "minuts" or "minuets" or "m"
                    ? 1
                    : null
        );
        return (hours ?? 0) + (minutes ?? 0) is var sum && (hours ?? minutes) is not null
            ? sum * Times(line, told)
            : null;
    }

    private static double Times(string line, List<(double Value, string Unit)> told) =>
        First(told, u => u is "x" or "times" ? 1 : null)
        ?? (
            AfterX().Match(line) is { Success: true } after
                ? double.Parse(after.Groups["n"].Value, CultureInfo.InvariantCulture)
            : line.Contains("twice", StringComparison.OrdinalIgnoreCase) ? 2
            : 1
        );

    /// <summary>A thermometer's reading [°C].</summary>
    public static double? TemperatureC(string line, UnitSystem units)
    {
        foreach (var (value, unit) in SpokenNumber.All(line))
        {
            switch (FirstWord(unit))
            {
                case "f" or "°f" or "fahrenheit" or "degf":
                    return (value - 32) / 1.8;
                case "c" or "°c" or "celsius" or "degc":
                    return value;
                case "" or "°" or "degrees" or "deg" or "at" or "in" when IsReading(unit):
                    return units == UnitSystem.UsCustomary ? (value - 32) / 1.8 : value;
                default:
                    break;
            }
        }

        return null;
    }

    /// <summary>Weight used on the whole lawn [kg], when it is not said to be per area; "half a 50 lb bag" is reckoned.</summary>
    public static double? WholeKg(string line)
    {
        if (PerArea(line))
        {
            return null;
        }

        var plain = BagWord().Replace(SpokenNumber.Plain(line), "bag");
        var weight = First(
            plain,
            unit =>
                unit switch
                {
                    "lb" or "lbs" or "pound" or "pounds" or "lb-bag" => Customary.PoundKg,
                    "oz" or "ounce" or "ounces" => Customary.PoundKg / 16,
                    "kg" or "kilo" or "kilos" or "kilograms" => 1,
                    "g" or "grams" => 0.001,
                    _ => null,
                }
        );
        return weight * Bags(plain);
    }

    // How many bags, or what part of one; 1 when no count is told, null when the weight may be that of a bag or of all.
    private static double? Bags(string plain)
    {
        if (BagForm().Match(plain) is not { Success: true } bag)
        {
            return 1;
        }

        double? count = bag.Groups["count"].Value switch
        {
            "half" => 0.5,
            "quarter" => 0.25,
            "third" => 1.0 / 3,
            "one" => 1,
            "two" => 2,
            "three" => 3,
            "four" => 4,
            var digits => SpokenNumber.All(digits).Select(n => (double?)n.Value).FirstOrDefault(),
        };
        return count == 1 || OneBagForm().IsMatch(plain) ? count : null;
    }

    /// <summary>Weight per area [g/m²], when the line says per which area.</summary>
    public static double? RateGM2(string line)
    {
        if (!PerArea(line))
        {
            return null;
        }

        var metric =
            line.Contains("m2", StringComparison.OrdinalIgnoreCase)
            || line.Contains("square met", StringComparison.OrdinalIgnoreCase);
        return First(
            line,
            unit =>
                (unit, metric) switch
                {
                    ("lb" or "lbs" or "pound" or "pounds", false) =>
                        Customary.PoundPerThousandSquareFeet,
                    ("oz" or "ounce" or "ounces", false) => Customary.PoundPerThousandSquareFeet
                        / 16,
                    ("g" or "grams", true) => 1,
                    ("kg", true) => line.Contains("100", StringComparison.Ordinal) ? 10 : 1000,
                    _ => null,
                }
        );
    }

    private static bool PerArea(string line) => PerAreaForm().IsMatch(SpokenNumber.Plain(line));

    private static double? First(string line, Func<string, double?> factor) =>
        First(SpokenNumber.All(line), factor);

    private static double? First(
        IEnumerable<(double Value, string Unit)> told,
        Func<string, double?> factor
    )
    {
        foreach (var (value, unit) in told)
        {
            if (factor(FirstWord(unit)) is { } f)
            {
                return value * f;
            }
        }

        return null;
    }

    // "61 at 4 in": the depth of the probe is not the reading.
    private static bool IsReading(string unit) => FirstWord(unit) is not "in";

    private static string FirstWord(string unit)
    {
        var word =
            unit.Split([' ', '/'], StringSplitOptions.RemoveEmptyEntries)
                .SkipWhile(w => w is "a" or "an" or "of")
                .FirstOrDefault()
                ?.Trim('.')
            ?? "";
        return word is "high" or "tall" or "today" or "on" or "now" ? "" : word;
    }

    // Per 1,000 square feet ("M", as the trade says), or per square metre.
    [GeneratedRegex(
        @"(/\s?|\bper\s+)(1,?000|thousand|k\b|m\b|m2|m²|square met)",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex PerAreaForm();

    // "10 min x 3".
    [GeneratedRegex(
        @"\bx\s?(?<n>[0-9]{1,2})\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AfterX();

    [GeneratedRegex(
        @"\b(bags|sacks?)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex BagWord();

    // The weight is that of one bag: "50 lb bag", "bag (50 lb)", "18 lb each".
    [GeneratedRegex(
        @"(lbs?|pounds?|kg)\s*-?\s*(bag\b|each\b|a bag|per bag)|\bbag(\s+of)?\s*\(?\s*[0-9.]+\s*-?\s*(lb|pound|kg)",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex OneBagForm();

    // "half a 50 lb bag", "1/2 bag", "2 40 lb bags", "one bag of 50 lb".
    [GeneratedRegex(
        @"(?<count>half|quarter|third|one|two|three|four|[0-9]{1,2}\s[0-9]/[0-9]|[0-9]/[0-9]|[0-9]{1,2}(\.[0-9])?|\.[0-9]{1,2})(\s+of)?(\s+(an?|the|1))?\s+([0-9]{1,3}(\.[0-9])?\s*-?\s*(lbs?|pounds?|kg)\s*-?\s*)?bag\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex BagForm();
}
