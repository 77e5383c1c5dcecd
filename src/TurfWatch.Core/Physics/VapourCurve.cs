using System.Runtime.CompilerServices;

namespace TurfWatch.Core.Physics;

/// <summary>
/// Saturation vapour pressure and its slope in one exponential, for the inner loop: over water from 0 °C
/// up, over ice below. The constants are those of <see cref="Psychrometrics"/>; a test holds the two together.
/// </summary>
internal static class VapourCurve
{
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Of(double tempC, out double slope)
    {
        var (a, b, c) = tempC >= 0 ? (6.1094, 17.625, 243.04) : (6.1121, 22.587, 273.86);
        var inverse = 1 / (c + tempC);
        var e = a * Math.Exp(b * tempC * inverse);
        slope = e * (b * c) * inverse * inverse;
        return e;
    }
}
