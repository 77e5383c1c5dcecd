using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>The decision, and what the message needs to explain it.</summary>
/// <param name="Advice">The verdict, the window and the reasons, the deciding one first.</param>
/// <param name="Holds">Everything that any rule said of any time.</param>
public sealed record Decided(MowingAdvice Advice, ImmutableArray<Hold> Holds);

/// <summary>Weighs all rules and says whether and when to mow.</summary>
public static class MowingDecision
{
    private static readonly Func<Morning, Judgement> WetLeaves = WetLeavesRule.Judge;

    // In the order in which equals are told; of two that hold the same hour the first names it.
    private static readonly ImmutableArray<Func<Morning, Judgement>> Rules =
    [
        HazardsRule.Judge,
        DormantRule.Judge,
        OwnerHoursRule.Judge,
        SkippedRule.Judge,
        UnseenHoursRule.Judge,
        FrostRule.Judge,
        FrozenGroundRule.Judge,
        RainAheadRule.Judge,
        WetLeaves,
        SoilBearingRule.Judge,
        HeatForPersonRule.Judge,
        DroughtStressRule.Judge,
        DaylightRule.Judge,
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
        var verdict = Verdict(morning, judgements, windows);
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
                Reasons.Rank(morning, judgements, verdict, windows)
            ),
            holds
        );
    }

    private static MowingVerdict Verdict(
        Morning morning,
        ImmutableArray<Judgement> judgements,
        ImmutableArray<Interval> windows
    )
    {
        if (windows.IsEmpty)
        {
            return Hopeful(morning, judgements) ? MowingVerdict.Wait : MowingVerdict.NotToday;
        }

        return GrowthNeedRule.NotYet(morning) ? MowingVerdict.Wait
            : windows[0].Start <= morning.Now ? MowingVerdict.MowNow
            : MowingVerdict.MowFrom;
    }

    private static ImmutableArray<Interval> Windows(Morning morning, IEnumerable<Hold> holds) =>
        OpenTime.Find(morning.Ahead, holds, morning.Lawn.MowingTime);

    // A window that would be there if the leaves dried at even odds and nothing hid in the unseen hours.
    private static bool Hopeful(Morning morning, ImmutableArray<Judgement> judgements)
    {
        var hoped = judgements
            .Where((_, i) => Rules[i] != WetLeaves)
            .SelectMany(j => j.Holds)
            .Where(h => h.Kind != HoldKind.Unseen)
            .Concat(WetLeavesRule.Holds(morning, WetChance.WetAgainPercent));
        return !Windows(morning, hoped).IsEmpty;
    }
}
