using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Testing;

namespace TurfWatch.Faults.Judging;

/// <summary>One message that is owed, as the test knows it from outside the program.</summary>
/// <param name="SubscriberId">Whose.</param>
/// <param name="Kind">Which kind.</param>
/// <param name="Key">What makes it unique.</param>
/// <param name="Recipient">Where it goes.</param>
/// <param name="Canary">The word that stands in it and in nobody else's messages; empty when it holds none.</param>
/// <param name="NotBefore">Not sent before.</param>
/// <param name="NotAfter">Not begun after.</param>
internal sealed record Owed(
    long SubscriberId,
    MessageKind Kind,
    string Key,
    string Recipient,
    string Canary,
    Instant NotBefore,
    Instant NotAfter
)
{
    /// <summary>The ends that the fault allows. By default the fault passes within the window: sent, or nobody can tell.</summary>
    public ImmutableArray<OutboxState> MayEnd { get; init; } =
    [OutboxState.Sent, OutboxState.Unknown];

    /// <summary>When the subscriber's leaving was committed; null when it was not.</summary>
    public Instant? LeftAt { get; init; }
}

/// <summary>All that is known after a fault: what was owed, what the database says, what the relay's ledger says, what was logged.</summary>
internal sealed record Evidence
{
    public required IReadOnlyList<Owed> Owed { get; init; }

    /// <summary>The outbox.</summary>
    public required IReadOnlyList<OutboxMessage> Rows { get; init; }

    /// <summary>What the relay took.</summary>
    public required IReadOnlyList<LedgerLine> Ledger { get; init; }

    /// <summary>Everything that the program's processes wrote.</summary>
    public string Log { get; init; } = "";

    /// <summary>Words that must not be logged.</summary>
    public ImmutableArray<string> Secrets { get; init; } = [];

    /// <summary>Times that each recipient was named to the relay.</summary>
    public IReadOnlyDictionary<string, int> Tries { get; init; } =
        ImmutableDictionary<string, int>.Empty;

    /// <summary>The most that a recipient may be named.</summary>
    public int TriesAtMost { get; init; } = int.MaxValue;

    /// <summary>From the end of the fault until everything was settled.</summary>
    public Duration Recovery { get; init; }

    /// <summary>The most that this may take.</summary>
    public Duration RecoveryAtMost { get; init; } = Duration.MaxValue;

    /// <summary>How far the program's clock is ahead of the relay's at an instant of the relay's, where a test moved it.</summary>
    public Func<Instant, Duration> ClockAhead { get; init; } = _ => Duration.Zero;
}
