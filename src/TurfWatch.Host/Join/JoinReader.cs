using System.Text.RegularExpressions;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Answers;
using TurfWatch.Weather.Places;

namespace TurfWatch.Host.Join;

/// <summary>Understands a request to join by mail: a ZIP code and, if they like, grass, area and height.</summary>
internal static partial class JoinReader
{
    /// <summary>The lawn of the first ZIP code that is known; null when there is none.</summary>
    public static Lawn? Read(IEnumerable<string> lines)
    {
        var text = string.Join(' ', lines);
        foreach (Match match in ZipForm().Matches(text))
        {
            if (ZipDirectory.Lookup(match.Groups["zip"].Value).Place is { } place)
            {
                return Of(place, text.Remove(match.Index, match.Length));
            }
        }

        return null;
    }

    /// <summary>A lawn of which only the place is known: what is likely there.</summary>
    public static Lawn Likely(Place place)
    {
        var grass = LikelyGrass.At(place);
        return new() { Place = place, Grass = grass };
    }

    private static Lawn Of(Place place, string text)
    {
        var likely = Likely(place);
        var (grass, overseed) = Grass(text, likely.Grass);
        return likely with
        {
            Grass = grass,
            Overseed = overseed,
            AreaM2 = Area(text) is { } area and >= 1 and <= 1e6 ? area : null,
            MowingHeightCm =
                HeightForm().Match(text) is { Success: true, Value: var height }
                && SpokenMeasure.HeightCm(height, UnitSystem.UsCustomary)
                    is { } cm
                        and >= 0.5
                        and <= 15
                    ? cm
                    : null,
        };
    }

    private static (GrassKind, GrassKind?) Grass(string text, GrassKind likely)
    {
        var over = OverseedForm().Match(text);
        var named = SpokenGrass.Find(over.Success ? text.Remove(over.Index, over.Length) : text);
        var grass = named ?? likely;
        return over.Success && Grasses.Of(grass).Season == GrassSeason.Warm
            ? (grass, SpokenGrass.Find(over.Value))
            : (grass, null);
    }

    private static double? Area(string text)
    {
        foreach (var (value, unit) in SpokenNumber.All(text))
        {
            var plain = unit.Replace(" ", "", StringComparison.Ordinal)
                .Replace(".", "", StringComparison.Ordinal);
            if (
                plain.StartsWith("sqft", StringComparison.Ordinal)
                || plain.StartsWith("squarefeet", StringComparison.Ordinal)
            )
            {
                return value * Customary.SquareFootM2;
            }

            if (plain.StartsWith("acre", StringComparison.Ordinal))
            {
                return value * Customary.AcreM2;
            }

            if (plain is "m" or "sqm" || plain.StartsWith("squaremet", StringComparison.Ordinal))
            {
                return value;
            }
        }

        return null;
    }

    [GeneratedRegex(
        @"(?<![0-9.,-])(?<zip>[0-9]{5})(-[0-9]{4})?(?![0-9.,-]*[0-9])",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex ZipForm();

    [GeneratedRegex(
        @"\b(with|over(seeded)?( with)?|and|\+|plus)\s+(annual |perennial |winter )?rye(grass)?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex OverseedForm();

    [GeneratedRegex(
        @"[0-9]+(\.[0-9]+)?(\s+[0-9]/[0-9])?\s*(in|inch|inches|""|cm)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex HeightForm();
}
