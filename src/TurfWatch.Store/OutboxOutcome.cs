using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>What became of one try, as it is written into the row.</summary>
public sealed record OutboxOutcome
{
    private OutboxOutcome() { }

    internal OutboxState State { get; private init; }

    internal string Reply { get; private init; } = "";

    internal Instant? RetryAt { get; private init; }

    internal bool Refunds { get; private init; }

    internal bool SuppressesSubscriber { get; private init; }

    /// <summary>The relay took it.</summary>
    public static OutboxOutcome Sent(string reply) =>
        new() { State = OutboxState.Sent, Reply = reply };

    /// <summary>Surely not taken; try again at <paramref name="at"/>. Not after the window: then it expires.</summary>
    public static OutboxOutcome Retry(string reply, Instant at) =>
        new()
        {
            State = OutboxState.Queued,
            Reply = reply,
            RetryAt = at,
        };

    /// <summary>Nothing was tried for this message (the relay is down, the service stops): back, and the attempt does not count.</summary>
    public static OutboxOutcome Untried(string reason, Instant at) =>
        new()
        {
            State = OutboxState.Queued,
            Reply = reason,
            RetryAt = at,
            Refunds = true,
        };

    /// <summary>Refused for good.</summary>
    public static OutboxOutcome Refused(string reply) =>
        new() { State = OutboxState.Dead, Reply = reply };

    /// <summary>The mailbox does not exist: refused for good, and nothing more is sent to the subscriber.</summary>
    public static OutboxOutcome HardBounce(string reply) =>
        new()
        {
            State = OutboxState.Dead,
            Reply = reply,
            SuppressesSubscriber = true,
        };

    /// <summary>It may or may not have been taken. The kind of message decides whether it is sent once more.</summary>
    public static OutboxOutcome Unknown(string reason) =>
        new() { State = OutboxState.Unknown, Reply = reason };
}
