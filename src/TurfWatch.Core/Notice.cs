using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>What a link in a message is for. Each purpose has tokens of its own: one that is good for one is good for no other.</summary>
public enum LinkPurpose
{
    /// <summary>Join the list; the id is the subscriber's.</summary>
    Confirm,

    /// <summary>See and change the lawn's page; the id is the lawn's.</summary>
    LawnPage,

    /// <summary>Take back what an answer did; the id is the deed's.</summary>
    Undo,

    /// <summary>Come back after leaving; the id is the subscriber's.</summary>
    Rejoin,

    /// <summary>The lawn's calendar as programs follow it; the id is the lawn's, with the number of the address.</summary>
    Calendar,

    /// <summary>Write down what a message advised; its token holds the whole line.</summary>
    WriteDown,

    /// <summary>A form to join that a page gave out; the id is the second it was given out.</summary>
    JoinForm,

    /// <summary>A form that a lawn's page gave out; the id is that of the deed it does.</summary>
    LawnForm,
}

/// <summary>A link in a notice.</summary>
/// <param name="Label">What it does, as the reader sees it.</param>
/// <param name="Purpose">What it is for.</param>
/// <param name="Id">What it is about.</param>
public sealed record NoticeLink(Phrase Label, LinkPurpose Purpose, long Id);

/// <summary>A short letter of the service about itself: please confirm, what came of an answer, how to answer.</summary>
public sealed record Notice
{
    /// <summary><see cref="MessageKind.Confirmation"/> or <see cref="MessageKind.Receipt"/>.</summary>
    public required MessageKind Kind { get; init; }

    /// <summary>When it was written.</summary>
    public required Instant MadeAt { get; init; }

    /// <summary>The reader's zone.</summary>
    public required DateTimeZone Zone { get; init; }

    /// <summary>The reader's units.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.UsCustomary;

    /// <summary>The subject line.</summary>
    public required Phrase Subject { get; init; }

    /// <summary>The text, a paragraph each.</summary>
    public required ImmutableArray<Phrase> Paragraphs { get; init; }

    /// <summary>The links, the most important first.</summary>
    public ImmutableArray<NoticeLink> Links { get; init; } = [];

    /// <summary>The lawn that an answer to it would be about; null when none.</summary>
    public long? LawnId { get; init; }

    /// <summary>Message-ID of the message that it answers, without brackets; null when it answers none.</summary>
    public string? InReplyTo { get; init; }
}
