using NodaTime;

namespace TurfWatch.Core;

/// <summary>Where an outbox row stands. The last five are terminal.</summary>
public enum OutboxState
{
    /// <summary>Waiting for its time, or for another try.</summary>
    Queued,

    /// <summary>A worker holds it by lease.</summary>
    Claimed,

    /// <summary>An SMTP transaction is under way.</summary>
    Sending,

    /// <summary>The relay took it.</summary>
    Sent,

    /// <summary>Its window closed before it could be sent.</summary>
    Expired,

    /// <summary>The subscriber left, or the address is suppressed.</summary>
    Suppressed,

    /// <summary>Refused for good, or it failed too often.</summary>
    Dead,

    /// <summary>The relay may or may not have taken it; nobody can tell.</summary>
    Unknown,
}

/// <summary>A message that is committed before it is sent. (Subscriber, kind, key) is unique.</summary>
public sealed record OutboxMessage
{
    /// <summary>Key in the store; 0 before it is stored.</summary>
    public long Id { get; init; }

    /// <summary>Who receives it.</summary>
    public required long SubscriberId { get; init; }

    /// <summary>Which kind.</summary>
    public required MessageKind Kind { get; init; }

    /// <summary>What makes it unique for the subscriber and kind: <c>2026-11-25#12</c> (local date and lawn), or a window and season.</summary>
    public required string Key { get; init; }

    /// <summary>Envelope recipient.</summary>
    public required string Recipient { get; init; }

    /// <summary>Envelope sender, where bounces go; empty for an answer, to which nothing may come back (RFC 3834).</summary>
    public required string EnvelopeSender { get; init; }

    /// <summary>Deterministic Message-ID, without angle brackets.</summary>
    public required string MessageId { get; init; }

    /// <summary>Not sent before.</summary>
    public required Instant NotBefore { get; init; }

    /// <summary>Never sent after.</summary>
    public required Instant NotAfter { get; init; }

    /// <summary>The whole message as it goes over the wire (RFC 5322), unsigned.</summary>
    public required byte[] Content { get; init; }

    /// <summary>State.</summary>
    public OutboxState State { get; init; } = OutboxState.Queued;

    /// <summary>How often it was claimed.</summary>
    public int Attempts { get; init; }

    /// <summary>Grows at each claim; a worker with an old one writes nothing.</summary>
    public long Fence { get; init; }

    /// <summary>The relay's last answer, or why there is none.</summary>
    public string? LastReply { get; init; }
}
