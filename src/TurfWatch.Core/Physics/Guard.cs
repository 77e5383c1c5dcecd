using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;

namespace TurfWatch.Core.Physics;

/// <summary>Range checks of the formulas. NaN passes: it means "not known" and comes out as NaN.</summary>
internal static class Guard
{
    /// <summary>A temperature that someone could have measured outdoors; catches kelvin and most °F.</summary>
    public static void Celsius(
        double value,
        [CallerArgumentExpression(nameof(value))] string name = ""
    ) => Range(value, -100, 100, name, "give °C, not K or °F");

    /// <summary>A pressure between the top of Everest and the deepest low over the Dead Sea, roughly.</summary>
    public static void PressureHPa(
        double value,
        [CallerArgumentExpression(nameof(value))] string name = ""
    ) => Range(value, 250, 1150, name, "give station pressure in hPa, not kPa or Pa");

    /// <summary>Degrees north.</summary>
    public static void Latitude(
        double value,
        [CallerArgumentExpression(nameof(value))] string name = ""
    ) =>
        Range(
            value,
            -90,
            90,
            name,
            "give degrees north; check that it is not swapped with longitude"
        );

    /// <summary>Degrees east.</summary>
    public static void Longitude(
        double value,
        [CallerArgumentExpression(nameof(value))] string name = ""
    ) => Range(value, -180, 180, name, "give degrees east of Greenwich, west negative");

    /// <summary>Throws unless <paramref name="value"/> lies in the range or is NaN.</summary>
    public static void Range(
        double value,
        double lowest,
        double highest,
        string name,
        string advice
    )
    {
        if (value < lowest || value > highest)
        {
            Throw(value, lowest, highest, name, advice);
        }
    }

    [DoesNotReturn]
    private static void Throw(
        double value,
        double lowest,
        double highest,
        string name,
        string advice
    ) =>
        throw new ArgumentOutOfRangeException(
            name,
            value,
            $"{name} is {value}, outside {lowest} to {highest}; {advice}."
        );
}
