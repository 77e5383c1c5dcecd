using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>The kinds of message.</summary>
public enum MessageKind
{
    /// <summary>The daily morning message.</summary>
    Morning,

    /// <summary>A season window opened or is about to close.</summary>
    Alert,

    /// <summary>The weekly season digest.</summary>
    Digest,

    /// <summary>A trial message that the owner asked for.</summary>
    Test,

    /// <summary>Asks an address whether it wants the messages.</summary>
    Confirmation,

    /// <summary>Says what came of an answer, or how to answer.</summary>
    Receipt,
}

/// <summary>A labelled number, for example "Soil at 4 in".</summary>
/// <param name="Label">What it is.</param>
/// <param name="Value">The number, with its doubt.</param>
public sealed record BriefingFact(Phrase Label, Phrase Value);

/// <summary>What every message about a lawn says, without a word of layout.</summary>
public abstract record MessageContent
{
    /// <summary>Which kind of message.</summary>
    public required MessageKind Kind { get; init; }

    /// <summary>The local day that it is about.</summary>
    public required LocalDate Date { get; init; }

    /// <summary>When it was worked out.</summary>
    public required Instant MadeAt { get; init; }

    /// <summary>The lawn it is about.</summary>
    public required Lawn Lawn { get; init; }

    /// <summary>The subject line: it carries the verdict or the event.</summary>
    public required Phrase Subject { get; init; }

    /// <summary>The same in one sentence.</summary>
    public required Phrase Headline { get; init; }

    /// <summary>What the reader may have written down with one click, once it is done.</summary>
    public ImmutableArray<DeedOffer> Offers { get; init; } = [];

    /// <summary>Cautions where the work can hurt someone.</summary>
    public required ImmutableArray<Phrase> Cautions { get; init; }

    /// <summary>From whom the data are, how old, what is missing.</summary>
    public required ImmutableArray<DataNote> Data { get; init; }
}
