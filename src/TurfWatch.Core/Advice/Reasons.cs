using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Puts the findings in the order in which they are told, and leaves out what no longer matters.</summary>
public static class Reasons
{
    /// <summary>Reasons told before the day's table, when there are more that only favour or shift the hours.</summary>
    public const int MostTold = 5;

    private const string Source = "all the rules of this message together";

    /// <summary>
    /// By weight, daylight that leaves hours to mow last of all that decides; within one weight by how much of the
    /// owner's time the rule takes; then in the order of the rules. When the grass is not due, that comes first, and what shifts or favours the hours is left
    /// to the day's table; likewise when one rule closes the whole day.
    /// </summary>
    public static ImmutableArray<Finding> Rank(
        Morning morning,
        ImmutableArray<Judgement> judgements,
        MowingVerdict verdict,
        ImmutableArray<Interval> windows
    )
    {
        var shut = judgements.Any(j =>
            j.Findings.Any(f => f.Weight == AdviceWeight.Blocks && !Is(f, GrowthNeedRule.Id))
        );
        var told = judgements
            .SelectMany(j => j.Findings.Select(f => (Finding: f, Taken: Taken(j.Holds, morning))))
            .Where(f => Matters(f.Finding, morning, verdict, shut))
            .OrderByDescending(f => Decides(f.Finding, morning, verdict))
            .ThenBy(f => Order(f.Finding))
            .ThenByDescending(f => f.Taken)
            .Select((f, place) => Quieter(f.Finding, place))
            .ToImmutableArray();
        return Spare(verdict, windows) is { } spare ? told.Add(spare) : told;
    }

    // Everyone knows that nights are dark: what only daylight shortens is told after all that speaks for the day.
    private static int Order(Finding finding) =>
        finding.Weight == AdviceWeight.Limits && Is(finding, DaylightRule.Id)
            ? 2 * (int)AdviceWeight.Supports + 1
            : 2 * (int)finding.Weight;

    // What comes late and forbids nothing is good to know, no more.
    private static Finding Quieter(Finding finding, int place) =>
        place >= MostTold && finding.Weight is (AdviceWeight.Supports or AdviceWeight.Limits)
            ? finding with
            {
                Weight = AdviceWeight.Informs,
            }
            : finding;

    private static bool Decides(Finding finding, Morning morning, MowingVerdict verdict) =>
        verdict == MowingVerdict.Wait
        && GrowthNeedRule.NotYet(morning)
        && Is(finding, GrowthNeedRule.Id)
        && finding.Weight == AdviceWeight.Blocks;

    private static bool Matters(Finding finding, Morning morning, MowingVerdict verdict, bool shut)
    {
        if (verdict == MowingVerdict.Wait && GrowthNeedRule.NotYet(morning))
        {
            return finding.Weight is AdviceWeight.Blocks or AdviceWeight.Cautions
                || Is(finding, GrowthNeedRule.Id);
        }

        if (verdict != MowingVerdict.NotToday)
        {
            return true;
        }

        if (morning.Closed && !OfUseAnyDay(finding, morning))
        {
            return false;
        }

        return finding.Weight switch
        {
            AdviceWeight.Supports => !morning.Closed && Is(finding, GrowthNeedRule.Id),
            AdviceWeight.Limits => !shut
                || Is(finding, FrostRule.Id)
                || Is(finding, FrozenGroundRule.Id),
            _ => true,
        };
    }

    // On a closed day only what the owner would act on all the same.
    private static bool OfUseAnyDay(Finding finding, Morning morning) =>
        finding.Rule switch
        {
            DormantRule.Id or FrostRule.Id or HazardsRule.Id => true,
            OwnerHoursRule.Id or DroughtStressRule.Id or GrowthNeedRule.Id => morning.Growing.Canopy
                == CanopyState.Active,
            _ => false,
        };

    private static Finding? Spare(MowingVerdict verdict, ImmutableArray<Interval> windows)
    {
        var (index, lead) = verdict switch
        {
            MowingVerdict.MowNow or MowingVerdict.MowFrom => (1, "A second chance today"),
            MowingVerdict.Wait => (0, "If you want to mow all the same"),
            _ => (int.MaxValue, ""),
        };
        return index >= windows.Length
            ? null
            : new(
                "spare-window",
                AdviceWeight.Informs,
                Phrase.Of($"{lead}: {windows[index].Start} to {windows[index].End}."),
                Phrase.Of($"nothing we know of forbids these hours"),
                Phrase.Of($"every rule allows it"),
                Source
            );
    }

    private static bool Is(Finding finding, string rule) =>
        string.Equals(finding.Rule, rule, StringComparison.Ordinal);

    private static Duration Taken(ImmutableArray<Hold> holds, Morning morning) =>
        holds
            .Where(h => h.Kind != HoldKind.Care)
            .Aggregate(Duration.Zero, (sum, h) => sum + h.Within(morning.OwnerHours));
}
