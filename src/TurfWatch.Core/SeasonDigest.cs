using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>Something to do this week, with its amount and its reason.</summary>
/// <param name="Title">What, in a few words.</param>
/// <param name="Steps">How, one sentence each.</param>
/// <param name="Amounts">How much, for the area if it is known.</param>
/// <param name="Why">Rule, evidence, threshold, source.</param>
/// <param name="Cautions">Cautions of this work.</param>
public sealed record LawnTask(
    Phrase Title,
    ImmutableArray<Phrase> Steps,
    ImmutableArray<Phrase> Amounts,
    Finding Why,
    ImmutableArray<Phrase> Cautions
)
{
    /// <summary>It as a line for the journal, once it is done; null when no amount is advised.</summary>
    public DeedOffer? Offer { get; init; }
}

/// <summary>One day in the digest's table of the week ahead.</summary>
/// <param name="Date">The day.</param>
/// <param name="MinC">Least air temperature [°C].</param>
/// <param name="MaxC">Most air temperature [°C].</param>
/// <param name="RainMm">Rain [mm]; NaN when unknown.</param>
/// <param name="RainChancePercent">Chance of rain [%]; NaN when unknown.</param>
/// <param name="WindMS">Highest wind [m/s].</param>
/// <param name="Et0Mm">Reference evapotranspiration [mm].</param>
/// <param name="Note">What to mind, in a few words; empty when nothing.</param>
public sealed record DigestDay(
    LocalDate Date,
    double MinC,
    double MaxC,
    double RainMm,
    double RainChancePercent,
    double WindMS,
    double Et0Mm,
    string Note
);

/// <summary>What a weekly digest says.</summary>
public sealed record SeasonDigest : MessageContent
{
    /// <summary>What to do this week, the most pressing first.</summary>
    public required ImmutableArray<LawnTask> Tasks { get; init; }

    /// <summary>The week that was, in numbers.</summary>
    public required ImmutableArray<BriefingFact> WeekThatWas { get; init; }

    /// <summary>The week ahead, day by day.</summary>
    public required ImmutableArray<DigestDay> WeekAhead { get; init; }

    /// <summary>The windows of the season, open ones first, then by date.</summary>
    public required ImmutableArray<SeasonWindow> Windows { get; init; }

    /// <summary>The season at a glance.</summary>
    public required ImmutableArray<Chart> Charts { get; init; }

    /// <summary>Findings on growth, water, disease weather, nitrogen, that are not tasks.</summary>
    public required ImmutableArray<Finding> Findings { get; init; }

    /// <summary>What the owner's record says.</summary>
    public required ImmutableArray<BriefingFact> OnRecord { get; init; }
}
