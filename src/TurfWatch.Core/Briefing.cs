using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>One hour in the table of the day.</summary>
/// <param name="HourEnd">End of the hour.</param>
/// <param name="AirTemperatureC">Air temperature [°C].</param>
/// <param name="WetChancePercent">Highest chance within the hour that the grass is wet [%].</param>
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

/// <summary>What a morning message says, without a word of layout.</summary>
public sealed record Briefing : MessageContent
{
    /// <summary>The decision on mowing.</summary>
    public required MowingAdvice Mowing { get; init; }

    /// <summary>The day, hour by hour.</summary>
    public required ImmutableArray<BriefingHour> Hours { get; init; }

    /// <summary>Numbers of the day.</summary>
    public required ImmutableArray<BriefingFact> Facts { get; init; }
}
