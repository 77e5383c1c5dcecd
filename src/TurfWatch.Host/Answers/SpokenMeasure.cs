using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>Finds in a line the one number of the kind that is asked for, with the unit that was written or the one that the owner uses.</summary>
internal static class SpokenMeasure
{
    /// <summary>Height of cut [cm].</summary>
    public static double? HeightCm(string line, UnitSystem units) =>
        First(
            line,
            unit =>
                unit switch
                {
                    "in" or "inch" or "inches" or "\"" => Customary.InchCm,
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
                    "in" or "inch" or "inches" or "\"" => Customary.InchMm,
                    "cm" => 10,
                    "mm" or "millimeters" or "millimetres" => 1,
                    "" => units == UnitSystem.UsCustomary ? Customary.InchMm : 1,
                    _ => null,
                }
        );

    /// <summary>Minutes of sprinkling.</summary>
    public static double? Minutes(string line) =>
        First(
            line,
            unit =>
                unit switch
                {
                    "min" or "mins" or "minute" or "minutes" => 1,
                    "h" or "hr" or "hrs" or "hour" or "hours" => 60,
                    _ => null,
                }
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

    /// <summary>Weight used on the whole lawn [kg], when it is not said to be per area.</summary>
    public static double? WholeKg(string line) =>
        PerArea(line)
            ? null
            : First(
                line,
                unit =>
                    unit switch
                    {
                        "lb" or "lbs" or "pound" or "pounds" or "#" => Customary.PoundKg,
                        "oz" or "ounce" or "ounces" => Customary.PoundKg / 16,
                        "kg" or "kilo" or "kilos" or "kilograms" => 1,
                        "g" or "grams" => 0.001,
                        _ => null,
                    }
            );

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

    private static bool PerArea(string line)
    {
        var plain = SpokenNumber.Plain(line);
        return plain.Contains("/1000", StringComparison.Ordinal)
            || plain.Contains("per 1000", StringComparison.Ordinal)
            || plain.Contains("per 1,000", StringComparison.Ordinal)
            || plain.Contains("/1,000", StringComparison.Ordinal)
            || plain.Contains("per thousand", StringComparison.Ordinal)
            || plain.Contains("/m2", StringComparison.Ordinal)
            || plain.Contains("per m2", StringComparison.Ordinal)
            || plain.Contains("per square met", StringComparison.Ordinal)
            || plain.Contains("/m²", StringComparison.Ordinal);
    }

    private static double? First(string line, Func<string, double?> factor)
    {
        foreach (var (value, unit) in SpokenNumber.All(line))
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
}
