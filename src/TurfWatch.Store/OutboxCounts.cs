namespace TurfWatch.Store;

/// <summary>Whether a claimed message may be sent now.</summary>
public enum SendPermit
{
    /// <summary>Yes: the row says sending.</summary>
    Granted,

    /// <summary>The subscriber left.</summary>
    Suppressed,

    /// <summary>The window is over.</summary>
    Expired,

    /// <summary>All is held: it is back in the queue.</summary>
    Held,

    /// <summary>The lease lapsed: the message belongs to someone else, or will.</summary>
    Lost,
}

/// <summary>What a sweep put right.</summary>
/// <param name="Requeued">Claims whose lease lapsed before sending began.</param>
/// <param name="Unknown">Transactions whose lease lapsed: settled as unknown.</param>
/// <param name="Resent">Transactions whose lease lapsed: put back for the one second try.</param>
/// <param name="Expired">Windows that closed.</param>
/// <param name="Dead">Claimed too often.</param>
/// <param name="Suppressed">The subscriber is no longer active.</param>
public sealed record OutboxSweep(
    int Requeued,
    int Unknown,
    int Resent,
    int Expired,
    int Dead,
    int Suppressed
)
{
    /// <summary>There was nothing to do, or another worker does it.</summary>
    public static readonly OutboxSweep None = new(0, 0, 0, 0, 0, 0);
}
