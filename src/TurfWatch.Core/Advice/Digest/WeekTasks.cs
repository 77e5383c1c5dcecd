using System.Collections.Immutable;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>What to do this week: mowing, feeding, seed and water by their own rules, and what else the open windows ask for.</summary>
internal static class WeekTasks
{
    private static readonly WindowKind[] ToldBySeedTask =
    [
        WindowKind.Overseed,
        WindowKind.CoolSeasonSeeding,
        WindowKind.Germination,
    ];

    public static ImmutableArray<LawnTask> Of(
        LawnYear year,
        ImmutableArray<SeasonWindow> windows
    ) =>
        [
            .. SeedTask.Of(year, windows),
            .. FeedingTask.Of(year, windows),
            .. Windows(windows, closing: true),
            .. MowingTask.Of(year),
            .. WaterTask.Of(year),
            .. Windows(windows, closing: false),
        ];

    private static IEnumerable<LawnTask> Windows(
        ImmutableArray<SeasonWindow> windows,
        bool closing
    ) =>
        windows
            .Where(w =>
                w.Standing == (closing ? WindowStanding.ClosingSoon : WindowStanding.Open)
                && !w.Steps.IsDefaultOrEmpty
                && !w.Why.IsDefaultOrEmpty
                && !ToldBySeedTask.Contains(w.Kind)
                // What is to be done before them is told while they are ahead.
                && w.Kind is not (WindowKind.FirstFrost or WindowKind.FirstFreeze)
                && !FeedPlan.Windows.Contains(w.Kind)
            )
            .Select(w => new LawnTask(w.Name, w.Steps, w.Amounts, w.Why[0], w.Cautions));
}
