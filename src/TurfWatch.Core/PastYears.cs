using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// The daily weather of about twenty past years at a place, the raw material of <see cref="PlaceClimate"/> and of
/// the season outlook. One entry for every day from the first to the last, in order; what is not known is NaN.
/// </summary>
/// <param name="Days">The days, without a hole.</param>
public sealed record PastYears(ImmutableArray<ClimateDay> Days)
{
    /// <summary>The first day.</summary>
    public LocalDate First => Days[0].Date;

    /// <summary>The last day.</summary>
    public LocalDate Last => Days[^1].Date;
}
