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

    /// <summary>Its key in the outbox: once a season and lawn.</summary>
    public string Key => KeyOf(Event);

    /// <summary>
    /// Keys of alerts of which one must have gone out before this one may: that a window closed is news only to a lawn
    /// that was told of it. Empty when the alert stands alone.
    /// </summary>
    public ImmutableArray<string> Follows =>
        Event == WindowEvent.Closed
            ? [KeyOf(WindowEvent.Opened), KeyOf(WindowEvent.ClosingSoon)]
            : [];

    /// <summary>Numbers that bear on it.</summary>
    public required ImmutableArray<BriefingFact> Facts { get; init; }

    private string KeyOf(WindowEvent what) => $"{Window.Key}:{what}#{Lawn.Id}";
}
