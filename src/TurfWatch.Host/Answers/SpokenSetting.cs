using System.Globalization;
using System.Text.RegularExpressions;
using TurfWatch.Core;
using TurfWatch.Host.Commands;

namespace TurfWatch.Host.Answers;

/// <summary>The value of a setting as people write it ("7am", "3,000 sq ft", "2 1/2", "rye"), in the word of a lawn file.</summary>
internal static partial class SpokenSetting
{
    /// <summary>The value as <see cref="LawnWords"/> reads it; as it was typed when nothing better is known.</summary>
    /// <param name="word">The setting.</param>
    /// <param name="value">What was typed.</param>
    /// <param name="units">The units that the owner reads, for numbers without one.</param>
    public static string Word(string word, string value, UnitSystem units)
    {
        var us = units == UnitSystem.UsCustomary;
        return word switch
        {
            "time" or "mow-from" or "mow-until" => TimeWord(value),
            "area" => Measure(value, us ? "sq ft" : "m2", AreaUnit) ?? value,
            "height" => Measure(value, us ? "in" : "cm", HeightUnit) ?? value,
            "sprinkler" => Measure(value, us ? "in/h" : "mm/h", SprinklerUnit) ?? value,
            "grass" or "overseed" when SpokenGrass.Find(value) is { } grass => Words.Kebab(
                grass.ToString()
            ),
            "days" or "water-days" => value.ToLowerInvariant() switch
            {
                "weekends" or "weekend" => "sat,sun",
                "weekdays" => "mon,tue,wed,thu,fri",
                _ => value,
            },
            _ => value,
        };
    }

    private static string TimeWord(string value)
    {
        var rest = value;
        return HourForm().IsMatch(value) ? $"{value.PadLeft(2, '0')}:00"
            : value.Contains('m', StringComparison.OrdinalIgnoreCase)
            && Said.Time(ref rest) is { } time
                ? time.ToString("HH:mm", CultureInfo.InvariantCulture)
            : value;
    }

    // One number and a unit that is known, or none.
    private static string? Measure(string value, string usual, Func<string, string?> unitOf)
    {
        if (WordForm().IsMatch(value))
        {
            return value;
        }

        // "m2" and "ft²" end in a figure that counts nothing.
        var told = SpokenNumber.All(SquareForm().Replace(value, "sq ${unit}")).ToList();
        if (told is not [var (number, unit)])
        {
            return null;
        }

        var bare = Spaces().Replace(unit, "").Replace(".", "", StringComparison.Ordinal);
        return (bare.Length == 0 ? usual : unitOf(bare)) is { } known
            ? FormattableString.Invariant($"{number:0.######} {known}")
            : null;
    }

    private static string? AreaUnit(string unit) =>
        unit switch
        {
            "sqft" or "sqfeet" or "squarefeet" or "squarefoot" or "sf" or "ft" or "feet" => "sq ft",
            "sqm" or "squaremeters" or "squaremetres" or "sqmeters" => "m2",
            "acre" or "acres" or "ac" or "anacre" or "ofanacre" => "acre",
            _ => null,
        };

    private static string? HeightUnit(string unit) =>
        unit switch
        {
            "in" or "ins" or "inch" or "inches" or "\"" => "in",
            "cm" or "centimeters" or "centimetres" => "cm",
            _ => null,
        };

    private static string? SprinklerUnit(string unit) =>
        unit switch
        {
            "in/h"
            or "in/hr"
            or "in/hour"
            or "inperhour"
            or "inchesperhour"
            or "inchperhour"
            or "inanhour"
            or "inchesanhour"
            or "iph" => "in/h",
            "mm/h" or "mm/hr" or "mm/hour" or "mmperhour" or "mmanhour" => "mm/h",
            _ => null,
        };

    [GeneratedRegex(@"^[0-9]{1,2}$", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex HourForm();

    [GeneratedRegex(
        @"(?<unit>m|ft)\^?[2²]",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex SquareForm();

    [GeneratedRegex(
        @"^[0-9]+(\.[0-9]+)?\s?(in|cm|sqft|m2|acre|in/h|mm/h)$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex WordForm();

    [GeneratedRegex(@"\s+", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex Spaces();
}
