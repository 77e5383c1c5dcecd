using System.Collections.Immutable;

namespace TurfWatch.Core;

/// <summary>What happened to a window.</summary>
public enum WindowEvent
{
    /// <summary>It opened.</summary>
    Opened,

    /// <summary>It is likely to close within about ten days, and nothing on record says that the work is done.</summary>
    ClosingSoon,

    /// <summary>It closed, and nothing on record says that the work was done.</summary>
    Closed,
}

/// <summary>What an alert says: one event of one window.</summary>
public sealed record SeasonAlert : MessageContent
{
    /// <summary>The window.</summary>
    public required SeasonWindow Window { get; init; }

    /// <summary>What happened to it.</summary>
    public required WindowEvent Event { get; init; }

    /// <summary>Numbers that bear on it.</summary>
    public required ImmutableArray<BriefingFact> Facts { get; init; }
}
