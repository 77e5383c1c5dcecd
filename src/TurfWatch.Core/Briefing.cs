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
}

/// <summary>One hour in the table of the day.</summary>
/// <param name="HourEnd">End of the hour.</param>
/// <param name="AirTemperatureC">Air temperature [°C].</param>
/// <param name="WetChancePercent">Chance that the grass is wet [%].</param>
/// <param name="RainChancePercent">Chance of rain [%]; NaN when unknown.</param>
/// <param name="RainMm">Rain [mm]; NaN when unknown.</param>
/// <param name="WindMS">Wind [m/s].</param>
/// <param name="Mowable">Every rule allows mowing in the whole of this hour.</param>
/// <param name="Note">What stands in the way, in one or two words; empty when nothing does.</param>
/// <param name="OpenFrom">When a time to mow begins within the hour; null when none does.</param>
/// <param name="OpenUntil">When a time to mow ends within the hour; null when none does.</param>
public sealed record BriefingHour(
    Instant HourEnd,
    double AirTemperatureC,
    double WetChancePercent,
    double RainChancePercent,
    double RainMm,
    double WindMS,
    bool Mowable,
    string Note,
    Instant? OpenFrom = null,
    Instant? OpenUntil = null
);

/// <summary>A labelled number of the day, for example "Soil at 4 in".</summary>
/// <param name="Label">What it is.</param>
/// <param name="Value">The number, with its doubt.</param>
public sealed record BriefingFact(Phrase Label, Phrase Value);

/// <summary>What one message says, without a word of layout.</summary>
public sealed record Briefing
{
    /// <summary>Which kind of message.</summary>
    public required MessageKind Kind { get; init; }

    /// <summary>The local day that it is about.</summary>
    public required LocalDate Date { get; init; }

    /// <summary>When it was worked out.</summary>
    public required Instant MadeAt { get; init; }

    /// <summary>The lawn it is about.</summary>
    public required Lawn Lawn { get; init; }

    /// <summary>The subject line: it carries the verdict.</summary>
    public required Phrase Subject { get; init; }

    /// <summary>The verdict in one sentence.</summary>
    public required Phrase Headline { get; init; }

    /// <summary>The decision on mowing.</summary>
    public required MowingAdvice Mowing { get; init; }

    /// <summary>Cautions where the work can hurt someone.</summary>
    public required ImmutableArray<Phrase> Cautions { get; init; }

    /// <summary>The day, hour by hour.</summary>
    public required ImmutableArray<BriefingHour> Hours { get; init; }

    /// <summary>Numbers of the day.</summary>
    public required ImmutableArray<BriefingFact> Facts { get; init; }

    /// <summary>From whom the data are, how old, what is missing.</summary>
    public required ImmutableArray<DataNote> Data { get; init; }
}
