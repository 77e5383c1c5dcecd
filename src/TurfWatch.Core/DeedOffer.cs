using NodaTime;

namespace TurfWatch.Core;

/// <summary>Work that a message advises, as a line for the journal once it is done.</summary>
/// <param name="Kind">What.</param>
/// <param name="Date">The local day of the message.</param>
/// <param name="Amount">How much, in the unit of the kind: height of cut [cm], nitrogen or seed [g/m²]; null when not told.</param>
public sealed record DeedOffer(JournalKind Kind, LocalDate Date, double? Amount)
{
    /// <summary>Grade of the fertilizer that the amounts were told for, when it is the owner's own; else null.</summary>
    public FertilizerGrade? Grade { get; init; }

    /// <summary>The grass that is sown; null when nothing is.</summary>
    public GrassKind? Grass { get; init; }
}
