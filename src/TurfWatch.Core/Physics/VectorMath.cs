using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace TurfWatch.Core.Physics;

/// <summary>Exponential, logarithm and powers of four numbers at once, written so that they lie open in the inner loop.</summary>
internal static class VectorMath
{
    private const int MantissaBits = 52;

    // ln 2 in two parts, of which a whole number times the first is exact.
    private const double Ln2High = 6.93147180369123816490e-01;
    private const double Ln2Low = 1.90821492927058770002e-10;

    // Far below any number whose power is taken; keeps the logarithm finite.
    private const double Least = 1e-280;

    /// <summary>x to the power of <paramref name="exponent"/>, for x of 0 or more; 0 stays 0.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Pow(Vector256<double> x, double exponent) =>
        Vector256.ConditionalSelect(
            Vector256.LessThan(x, V(Least)),
            Vector256<double>.Zero,
            Exp(V(exponent) * Log(Vector256.Max(x, V(Least))))
        );

    /// <summary>e to the power of x, for x from −700 to 700, to the last digit or two.</summary>
    /// <remarks>x = n ln 2 + r with |r| ≤ ln 2 / 2; e^r by its series to r^13, whose rest is below 1e-17.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Exp(Vector256<double> x)
    {
        // Added to a small number it leaves its whole part in the lowest bits.
        var shift = V(6755399441055744);
        var shifted = Fused(x, V(1.4426950408889634), shift);
        var n = shifted - shift;
        var r = Fused(n, V(-Ln2High), x);
        r = Fused(n, V(-Ln2Low), r);
        var r2 = r * r;
        var r4 = r2 * r2;
        var p01 = Vector256<double>.One + r;
        var p23 = Fused(r, V(1.0 / 6), V(1.0 / 2));
        var p45 = Fused(r, V(1.0 / 120), V(1.0 / 24));
        var p67 = Fused(r, V(1.0 / 5040), V(1.0 / 720));
        var p89 = Fused(r, V(1.0 / 362880), V(1.0 / 40320));
        var pAb = Fused(r, V(1.0 / 39916800), V(1.0 / 3628800));
        var pCd = Fused(r, V(1.0 / 6227020800), V(1.0 / 479001600));
        var low = Fused(r2, p23, p01);
        var middle = Fused(r2, p67, p45);
        var high = Fused(r4, pCd, Fused(r2, pAb, p89));
        var p = Fused(r4, Fused(r4, high, middle), low);
        return (p.AsInt64() + Vector256.ShiftLeft(shifted.AsInt64(), MantissaBits)).AsDouble();
    }

    /// <summary>Natural logarithm of x, for normal x above 0, to the last digit or two.</summary>
    /// <remarks>x = 2^k m with m from √½ to √2; ln m = 2 artanh s with s = (m − 1)/(m + 1), by its series to s^23, whose rest is below 1e-17.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Log(Vector256<double> x)
    {
        const long rootOfHalf = 0x3FE6A09E667F3BCD;
        const long one = 0x3FF0000000000000;
        var bits = x.AsInt64() + Vector256.Create(one - rootOfHalf);
        var exponent =
            (
                Vector256.ShiftRightLogical(bits, MantissaBits)
                | Vector256.Create(0x4330000000000000)
            ).AsDouble() - V(4503599627370496 + 1023);
        var m = (
            (bits & Vector256.Create((1L << MantissaBits) - 1)) + Vector256.Create(rootOfHalf)
        ).AsDouble();
        var s = (m - Vector256<double>.One) / (m + Vector256<double>.One);
        var z = s * s;
        var z2 = z * z;
        var z4 = z2 * z2;
        var q01 = Fused(z, V(2.0 / 5), V(2.0 / 3));
        var q23 = Fused(z, V(2.0 / 9), V(2.0 / 7));
        var q45 = Fused(z, V(2.0 / 13), V(2.0 / 11));
        var q67 = Fused(z, V(2.0 / 17), V(2.0 / 15));
        var q89 = Fused(z, V(2.0 / 21), V(2.0 / 19));
        var low = Fused(z2, q23, q01);
        var middle = Fused(z2, q67, q45);
        var high = Fused(z2, V(2.0 / 23), q89);
        var q = Fused(z4, Fused(z4, high, middle), low);
        var tail = Fused(s * z, q, s + s);
        return Fused(exponent, V(Ln2High), Fused(exponent, V(Ln2Low), tail));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Fused(
        Vector256<double> x,
        Vector256<double> y,
        Vector256<double> plus
    ) => Vector256.MultiplyAddEstimate(x, y, plus);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> V(double value) => Vector256.Create(value);
}
