namespace TurfWatch.Core.Physics;

/// <summary>
/// Water on the leaves: the wet share of the leaf area is (W/Wmax)^(2/3) (Deardorff 1978, J. Geophys. Res.
/// 83:1889), so that dW/dt = -E·(W/Wmax)^(2/3) for a potential rate E; this has a closed solution, in which a
/// film dries up within the hour rather than at its end.
/// </summary>
internal static class LeafWater
{
    /// <summary>Less than this counts as dry [mm]; about what a dew sensor begins to see (judgement, no source).</summary>
    public const double DryMm = 0.01;

    /// <summary>Water left after a time of evaporation [mm].</summary>
    /// <param name="wetRoot">Cube root of the share of the store that is full at the start [0-1].</param>
    /// <param name="store">Most that the leaves hold [mm].</param>
    /// <param name="evaporated">Potential evaporation of wet leaves over that time [mm], 0 or more.</param>
    public static double Left(double wetRoot, double store, double evaporated)
    {
        var root = wetRoot - (evaporated / (3 * store));
        return root <= 0 ? 0 : store * root * root * root;
    }

    /// <summary>Share of a step in which the leaves are wet.</summary>
    /// <param name="before">Water and ice at the start [mm].</param>
    /// <param name="after">Water and ice at the end [mm].</param>
    /// <param name="store">Most that the leaves hold [mm].</param>
    public static double WetShare(double before, double after, double store)
    {
        var (wetBefore, wetAfter) = (before > DryMm, after > DryMm);
        if (wetBefore == wetAfter)
        {
            return wetBefore ? 1 : 0;
        }

        if (wetAfter)
        {
            // Wetting goes at an even rate.
            return (after - DryMm) / (after - before);
        }

        // Drying: the cube root of the store falls evenly.
        var (b, a, d) = (
            Math.Cbrt(before / store),
            Math.Cbrt(after / store),
            Math.Cbrt(DryMm / store)
        );
        return b > a ? Math.Clamp((b - d) / (b - a), 0, 1) : 0;
    }
}
