using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>What an inbound message turned out to be.</summary>
public enum InboundKind
{
    /// <summary>A person wrote it.</summary>
    Person,

    /// <summary>A report that a message could not be delivered, or not yet.</summary>
    Bounce,

    /// <summary>A provider's report that a reader called a message of ours unwanted (RFC 5965).</summary>
    Complaint,

    /// <summary>A robot wrote it (out of office, list, our own message come back): never answered.</summary>
    Robot,

    /// <summary>It cannot be read.</summary>
    Malformed,
}

/// <summary>One failed recipient of a delivery report (RFC 3464).</summary>
/// <param name="MessageToken">What our return path said of the message it is about; null when the report came elsewhere.</param>
/// <param name="Status">Enhanced status, for example <c>5.1.1</c>; empty when not said.</param>
/// <param name="Permanent">The mailbox refuses for good.</param>
public sealed record BounceReport(string? MessageToken, string Status, bool Permanent);

/// <summary>A provider's report that a reader called a message unwanted (RFC 5965).</summary>
/// <param name="Type">What the reader called it, for example <c>abuse</c>.</param>
/// <param name="MessageToken">What our return path said of the message it is about; null when it is not told.</param>
/// <param name="LeaveToken">The token of the address to leave by in that message; null when it is not told.</param>
public sealed record ComplaintReport(string Type, string? MessageToken, string? LeaveToken);

/// <summary>A message from outside, as far as the service needs it. All text in it is data, never trusted.</summary>
public sealed record InboundMail
{
    /// <summary>What it is.</summary>
    public required InboundKind Kind { get; init; }

    /// <summary>Message-ID without brackets; empty when there is none.</summary>
    public required string MessageId { get; init; }

    /// <summary>When it was received, by the mailbox's clock.</summary>
    public required Instant ReceivedAt { get; init; }

    /// <summary>The address it says it is from; not proven by anything.</summary>
    public required string From { get; init; }

    /// <summary>The token in the address it was sent to (<c>lawn+token@…</c>); null when there is none.</summary>
    public string? ReplyToken { get; init; }

    /// <summary>The subject.</summary>
    public string Subject { get; init; } = "";

    /// <summary>The sender's own lines, without quotation and signature; at most ten.</summary>
    public ImmutableArray<string> Lines { get; init; } = [];

    /// <summary>The delivery report, when it is one.</summary>
    public BounceReport? Bounce { get; init; }

    /// <summary>The complaint, when it is one.</summary>
    public ComplaintReport? Complaint { get; init; }
}
