using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>What an owner can have done, seen or left out.</summary>
public enum JournalKind
{
    /// <summary>Mowed; the amount is the height of cut [cm], if told.</summary>
    Mowed,

    /// <summary>Fed; the amount is nitrogen [g/m²], if told.</summary>
    Fed,

    /// <summary>Seeded; the amount is seed [g/m²], if told.</summary>
    Seeded,

    /// <summary>Watered; the amount is depth [mm], if told.</summary>
    Watered,

    /// <summary>Measured the soil with a thermometer; the amount is [°C] at 10 cm.</summary>
    SoilMeasured,

    /// <summary>Saw new seed come up; no amount.</summary>
    Germinated,

    /// <summary>Put down a pre-emergent; no amount.</summary>
    PreEmergent,

    /// <summary>Aerated with hollow tines; no amount.</summary>
    Aerated,

    /// <summary>Dethatched; no amount.</summary>
    Dethatched,

    /// <summary>Left a mowing out that was advised; no amount.</summary>
    MowingSkipped,
}

/// <summary>One line of the owner's journal.</summary>
/// <param name="Id">Key in the store; 0 before it is stored.</param>
/// <param name="Kind">What was done.</param>
/// <param name="Date">On which local date.</param>
/// <param name="Amount">How much, in the unit of the kind; null when not told.</param>
/// <param name="Time">At what local time; null when not told. Only a reading of the soil has one.</param>
public sealed record JournalEntry(
    long Id,
    JournalKind Kind,
    LocalDate Date,
    double? Amount,
    LocalTime? Time = null
)
{
    /// <summary>Phosphate, P2O5, of a feeding [g/m²]; null when not told.</summary>
    public double? PhosphateGM2 { get; init; }

    /// <summary>Potash, K2O, of a feeding [g/m²]; null when not told.</summary>
    public double? PotashGM2 { get; init; }

    /// <summary>Height of the grass before it was mowed, by a ruler [cm]; null when not told.</summary>
    public double? HeightBeforeCm { get; init; }

    /// <summary>The grass that was sown or came up; null when not told.</summary>
    public GrassKind? Grass { get; init; }
}

/// <summary>The owner's journal, oldest entry first.</summary>
/// <param name="Entries">The entries, ordered by date.</param>
public sealed record LawnRecord(ImmutableArray<JournalEntry> Entries)
{
    /// <summary>A journal without entries.</summary>
    public static LawnRecord Empty { get; } = new([]);

    /// <summary>The newest entry of a kind on or before a date, or null.</summary>
    public JournalEntry? Last(JournalKind kind, LocalDate onOrBefore) =>
        Entries.LastOrDefault(e => e.Kind == kind && e.Date <= onOrBefore);
}
