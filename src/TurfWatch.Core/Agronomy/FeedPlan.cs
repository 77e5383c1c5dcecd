namespace TurfWatch.Core.Agronomy;

/// <summary>How much nitrogen a feeding window is for, and towards what it leans.</summary>
/// <param name="NitrogenGM2">Nitrogen [g/m²].</param>
/// <param name="Lean">Nitrogen, or potash too.</param>
/// <param name="Source">Who says so.</param>
public sealed record FeedPlan(double NitrogenGM2, FeedLean Lean, string Source)
{
    /// <summary>The windows that are for feeding, the one that wins when two are open first.</summary>
    public static IReadOnlyList<WindowKind> Windows { get; } =
    [
        WindowKind.FinalFallFeeding,
        WindowKind.LateFallFeeding,
        WindowKind.FirstRyeFeeding,
        WindowKind.CoolFallFeeding,
        WindowKind.RyeFeeding,
        WindowKind.SummerFeeding,
    ];

    /// <summary>The feeding of a window.</summary>
    /// <remarks>
    /// Cool-season lawns: Purdue, 1 lb in September, 0.5-1 lb late in fall, of which we take the lower end; last
    /// feeding of a dormant-going lawn: LSU (Koske), potash over nitrogen, "if in doubt do nothing"; rye: quarter to
    /// half pounds, about monthly, common practice. Else the most of one feeding of the grass.
    /// </remarks>
    public static FeedPlan Of(Lawn lawn, GrassKind grass, WindowKind window)
    {
        var need = FeedAmount.Need(lawn, grass);
        return window switch
        {
            WindowKind.FinalFallFeeding => new(
                need.FeedingMinGM2,
                FeedLean.Potash,
                "LSU AgCenter (Koske): late feedings with more potash than nitrogen; other states stop earlier"
            ),
            WindowKind.LateFallFeeding => new(
                need.FeedingMinGM2,
                FeedLean.Nitrogen,
                "Purdue: 0.5-1 lb near the last mowing; the lower end is judgement"
            ),
            WindowKind.CoolFallFeeding => new(
                need.FeedingMaxGM2,
                FeedLean.Nitrogen,
                "Purdue: 1 lb in September; Kansas State: 1-1.5 lb"
            ),
            WindowKind.FirstRyeFeeding or WindowKind.RyeFeeding => new(
                need.FeedingMaxGM2,
                FeedLean.Nitrogen,
                need.Source
            ),
            WindowKind.SummerFeeding => new(need.FeedingMaxGM2, FeedLean.Nitrogen, need.Source),
            _ => throw new ArgumentOutOfRangeException(
                nameof(window),
                window,
                "not a window for feeding; use one of FeedPlan.Windows"
            ),
        };
    }
}
