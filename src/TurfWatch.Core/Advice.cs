using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>How much a finding weighs in the decision; also the order in which reasons are told.</summary>
public enum AdviceWeight
{
    /// <summary>Forbids mowing while it holds.</summary>
    Blocks,

    /// <summary>Shortens or shifts the hours.</summary>
    Limits,

    /// <summary>Allows it, with care.</summary>
    Cautions,

    /// <summary>Speaks for it.</summary>
    Supports,

    /// <summary>Good to know.</summary>
    Informs,
}

/// <summary>One finding: what it says, the number it rests on, the threshold it was held against, and who says so.</summary>
/// <param name="Rule">Id of the rule, for example <c>wet-leaves</c>; names the file in Advice/.</param>
/// <param name="Weight">How much it weighs.</param>
/// <param name="Text">The finding in one plain sentence.</param>
/// <param name="Evidence">The number or numbers, short: "dry by 09:40, between 09:00 and 10:30".</param>
/// <param name="Threshold">What it was held against, short: "leaves dry (chance of wet below 10 %)".</param>
/// <param name="Source">Published source, or "common practice, no source".</param>
public sealed record Advice(
    string Rule,
    AdviceWeight Weight,
    Phrase Text,
    Phrase Evidence,
    Phrase Threshold,
    string Source
);

/// <summary>Whether to mow.</summary>
public enum MowingVerdict
{
    /// <summary>The window is open at the time of the message.</summary>
    MowNow,

    /// <summary>A window opens later today.</summary>
    MowFrom,

    /// <summary>Nothing forbids it, but waiting is better: the grass does not need it yet, or the window is too doubtful to name an hour.</summary>
    Wait,

    /// <summary>Leave it today.</summary>
    NotToday,
}

/// <summary>The decision on mowing for one lawn and one local day.</summary>
/// <param name="Verdict">Mow now, from an hour, wait, or not today.</param>
/// <param name="From">Start of the window (the safe end of the likely range); null unless there is one.</param>
/// <param name="Until">End of the window; null unless there is one.</param>
/// <param name="DryOffEarliest">Earliest likely hour at which the leaves are dry; null when they are dry already or will not dry.</param>
/// <param name="DryOffLatest">Latest likely hour at which the leaves are dry; null likewise.</param>
/// <param name="Reasons">All findings, the weightiest first.</param>
public sealed record MowingAdvice(
    MowingVerdict Verdict,
    Instant? From,
    Instant? Until,
    Instant? DryOffEarliest,
    Instant? DryOffLatest,
    ImmutableArray<Advice> Reasons
);
