namespace TurfWatch.Core.Physics;

/// <summary>
/// Water on the leaves: the wet share of the leaf area is (W/Wmax)^(2/3) (Deardorff 1978, J. Geophys. Res.
/// 83:1889), so that dW/dt = -E·(W/Wmax)^(2/3) for a potential rate E; this has a closed solution, in which a
/// film dries up within the hour rather than at its end.
/// </summary>
internal static class LeafWater
{
    /// <summary>Less than this counts as dry [mm]; about what a dew sensor and a shoe begin to feel (judgement, no source; docs/science/validation.md).</summary>
    public const double DryMm = 0.025;

    /// <summary>Intensity of rain while it falls [mm/h]: a small amount in an hour is a short shower (judgement, no source).</summary>
    private const double ShowerMmH = 2.5;

    /// <summary>Water left after a time of evaporation [mm].</summary>
    /// <param name="wetRoot">Cube root of the share of the store that is full at the start [0-1].</param>
    /// <param name="store">Most that the leaves hold [mm].</param>
    /// <param name="evaporated">Potential evaporation of wet leaves over that time [mm], 0 or more.</param>
    public static double Left(double wetRoot, double store, double evaporated)
    {
        var root = wetRoot - (evaporated / (3 * store));
        return root <= 0 ? 0 : store * root * root * root;
    }

    /// <summary>Share of an hour with rain in which the leaves are wet: the shower lies in its middle, what was on them before dries until it begins, what it leaves dries from its end.</summary>
    /// <param name="rain">Rain of the hour [mm], above 0.</param>
    /// <param name="before">Water and ice before the rain [mm].</param>
    /// <param name="after">Water and ice with the rain [mm].</param>
    /// <param name="store">Most that the leaves hold [mm].</param>
    /// <param name="potential">What wet leaves would lose in the hour [mm]; below 0 they gain.</param>
    public static double WetShareInRain(
        double rain,
        double before,
        double after,
        double store,
        double potential
    )
    {
        var shower = Math.Min(1, rain / ShowerMmH);
        var beside = (1 - shower) / 2;
        return shower
            + Math.Min(beside, Lasts(before, store, potential))
            + Math.Min(beside, Lasts(after, store, potential));
    }

    private static double Lasts(double film, double store, double potential)
    {
        if (film <= DryMm)
        {
            return 0;
        }

        return potential <= 0
            ? 1
            : 3 * store * (Math.Cbrt(film / store) - Math.Cbrt(DryMm / store)) / potential;
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
