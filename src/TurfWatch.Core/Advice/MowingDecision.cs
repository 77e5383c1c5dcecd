using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>The decision, and what the message needs to explain it.</summary>
/// <param name="Advice">The verdict, the window and the reasons, weightiest first.</param>
/// <param name="Holds">Everything that any rule said of any time.</param>
/// <param name="Others">Further windows of the day, after the one advised.</param>
public sealed record Decided(
    MowingAdvice Advice,
    ImmutableArray<Hold> Holds,
    ImmutableArray<Interval> Others
);

/// <summary>Weighs all rules and says whether and when to mow.</summary>
public static class MowingDecision
{
    private static readonly ImmutableArray<Func<Morning, Judgement>> Rules =
    [
        DormantRule.Judge,
        OwnerHoursRule.Judge,
        UnseenHoursRule.Judge,
        RainAheadRule.Judge,
        WetLeavesRule.Judge,
        GrowthNeedRule.Judge,
    ];

    /// <summary>Decides.</summary>
    /// <remarks>
    /// The window is the first stretch, at least <see cref="Lawn.MowingTime"/> long, that no rule forbids
    /// and that can be seen. Without one, but with one if the leaves dry at even odds and the unseen hours
    /// turn out fine, the verdict is to wait. Grass that does not need it yet, or rests, gets no window.
    /// </remarks>
    public static Decided Decide(Morning morning)
    {
        var judgements = Rules.Select(rule => rule(morning)).ToImmutableArray();
        var holds = judgements.SelectMany(j => j.Holds).ToImmutableArray();
        var windows = Windows(morning, holds);
        var resting = morning.Growing.Canopy == CanopyState.Dormant;
        var verdict =
            resting ? MowingVerdict.NotToday
            : windows.IsEmpty
                ? (Hopeful(morning, holds) ? MowingVerdict.Wait : MowingVerdict.NotToday)
            : GrowthNeedRule.NotYet(morning) ? MowingVerdict.Wait
            : windows[0].Start <= morning.Now ? MowingVerdict.MowNow
            : MowingVerdict.MowFrom;
        Interval? window = verdict is MowingVerdict.MowNow or MowingVerdict.MowFrom
            ? windows[0]
            : null;
        var dryOff = DryOff.Of(morning);
        return new(
            new(
                verdict,
                window?.Start,
                window?.End,
                dryOff?.Earliest,
                dryOff?.Latest,
                Rank(judgements, morning)
            ),
            holds,
            window is null ? windows : windows.RemoveAt(0)
        );
    }

    private static ImmutableArray<Interval> Windows(Morning morning, IEnumerable<Hold> holds) =>
        OpenTime.Find(morning.Ahead, holds, morning.Lawn.MowingTime);

    // A window that would be there if the leaves dried at even odds and nothing hid in the unseen hours.
    private static bool Hopeful(Morning morning, ImmutableArray<Hold> holds)
    {
        var safe = WetLeavesRule.Holds(morning, WetChance.SafePercent);
        var even = WetLeavesRule.Holds(morning, WetChance.WetAgainPercent);
        var hoped = holds.Where(h => h.Kind != HoldKind.Unseen && !safe.Contains(h)).Concat(even);
        return !Windows(morning, hoped).IsEmpty;
    }

    // By weight; within one weight by how much of the owner's time the rule takes; then as listed above.
    private static ImmutableArray<Finding> Rank(
        ImmutableArray<Judgement> judgements,
        Morning morning
    ) =>
        [
            .. judgements
                .SelectMany(j =>
                    j.Findings.Select(f => (Finding: f, Taken: Taken(j.Holds, morning)))
                )
                .OrderBy(f => f.Finding.Weight)
                .ThenByDescending(f => f.Taken)
                .Select(f => f.Finding),
        ];

    private static Duration Taken(ImmutableArray<Hold> holds, Morning morning) =>
        holds
            .Where(h => h.Kind != HoldKind.Care)
            .Aggregate(Duration.Zero, (sum, h) => sum + h.Within(morning.OwnerHours));
}
