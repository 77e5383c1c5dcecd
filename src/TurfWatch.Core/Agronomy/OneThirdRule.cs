using System.Collections.Immutable;

namespace TurfWatch.Core.Agronomy;

/// <summary>
/// The one-third rule of the trade: never cut away more than a third of the leaf. So a lawn kept at
/// height H falls due at 1.5 H.
/// </summary>
/// <remarks>University of Tennessee (Sorochan): "mow at" heights are 1.5 times the set height.</remarks>
public static class OneThirdRule
{
    /// <summary>Height at which a lawn kept at <paramref name="setHeightCm"/> falls due [cm].</summary>
    /// <param name="setHeightCm">Height of cut [cm], 0.5 to 15.</param>
    public static double DueHeightCm(double setHeightCm)
    {
        Check(setHeightCm);
        return 1.5 * setHeightCm;
    }

    /// <summary>Days between two cuts that take a lawn down; common practice (every few days), no source.</summary>
    public const int DaysBetweenSteps = 3;

    /// <summary>
    /// Height at which newly sown grass has its first cut, kept at <paramref name="setHeightCm"/> [cm]: a third above it;
    /// common practice. Iowa State University extension (5 May 1992) waits till 3 in for a cut at 2 in, the ordinary mark.
    /// </summary>
    /// <param name="setHeightCm">Height of cut [cm], 0.5 to 15.</param>
    public static double FirstCutDueCm(double setHeightCm)
    {
        Check(setHeightCm);
        return setHeightCm * 4 / 3;
    }

    /// <summary>Lowest height that a lawn now at <paramref name="heightCm"/> may be cut to in one go [cm].</summary>
    /// <param name="heightCm">Height now [cm].</param>
    /// <param name="setHeightCm">Height of cut wanted [cm], 0.5 to 15.</param>
    public static double NextCutCm(double heightCm, double setHeightCm)
    {
        Check(setHeightCm);
        return Math.Max(setHeightCm, heightCm * 2 / 3);
    }

    /// <summary>The cuts that bring a lawn down, each taking a third at most; empty when it is not above the set height.</summary>
    /// <param name="heightCm">Height now [cm].</param>
    /// <param name="setHeightCm">Height of cut wanted [cm], 0.5 to 15.</param>
    public static ImmutableArray<double> Steps(double heightCm, double setHeightCm)
    {
        Check(setHeightCm);
        var steps = ImmutableArray.CreateBuilder<double>();
        for (var height = heightCm; height > setHeightCm + 1e-9; )
        {
            height = NextCutCm(height, setHeightCm);
            steps.Add(height);
        }

        return steps.ToImmutable();
    }

    private static void Check(double setHeightCm)
    {
        if (setHeightCm is not (>= 0.5 and <= 15))
        {
            throw new ArgumentOutOfRangeException(
                nameof(setHeightCm),
                setHeightCm,
                "a height of cut lies between 0.5 and 15 cm (0.2 and 6 in)"
            );
        }
    }
}
