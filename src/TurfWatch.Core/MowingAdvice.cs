using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

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
    ImmutableArray<Finding> Reasons
);
