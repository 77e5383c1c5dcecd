namespace TurfWatch.Core.Agronomy;

/// <summary>The grass that a home lawn most likely has, when nobody said.</summary>
public static class LikelyGrass
{
    private const double GulfLatitudeDeg = 28.5;
    private const double WarmLatitudeDeg = 36.5;
    private const double TransitionLatitudeDeg = 40;
    private const double PacificLongitudeDeg = -117.5;

    /// <summary>
    /// St. Augustinegrass along the Gulf and in Florida, bermudagrass through the south, tall fescue in the transition
    /// zone between them and the north, Kentucky bluegrass north of it, perennial ryegrass west of the Cascades.
    /// </summary>
    /// <remarks>Common practice, no source; by latitude alone but for the Pacific coast. Owners set it right with one answer.</remarks>
    public static GrassKind At(Place place) =>
        place.LatitudeDeg switch
        {
            < GulfLatitudeDeg => GrassKind.StAugustine,
            < WarmLatitudeDeg => GrassKind.Bermuda,
            >= 42 when place.LongitudeDeg < PacificLongitudeDeg => GrassKind.PerennialRyegrass,
            < TransitionLatitudeDeg => GrassKind.TallFescue,
            _ => GrassKind.KentuckyBluegrass,
        };
}
