using System.Runtime.CompilerServices;

namespace TurfWatch.Core.Physics;

/// <summary>
/// Saturation vapour pressure and its slope in one exponential, for the inner loop: over water from 0 °C
/// up, over ice below. The constants are those of <see cref="Psychrometrics"/>; a test holds the two together.
/// </summary>
internal static class VapourCurve
{
    public const double WaterA = 6.1094;
    public const double WaterB = 17.625;
    public const double WaterC = 243.04;
    public const double IceA = 6.1121;
    public const double IceB = 22.587;
    public const double IceC = 273.86;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Of(double tempC, out double slope)
    {
        var (a, b, c) = tempC >= 0 ? (WaterA, WaterB, WaterC) : (IceA, IceB, IceC);
        var inverse = 1 / (c + tempC);
        var e = a * Math.Exp(b * tempC * inverse);
        slope = e * (b * c) * inverse * inverse;
        return e;
    }
}
