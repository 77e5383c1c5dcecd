using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>One morning of a demo household.</summary>
/// <param name="Date">The local date.</param>
/// <param name="Subject">Subject of the message as it was delivered.</param>
/// <param name="File">The message as a page, relative to the demo folder.</param>
/// <param name="Mowing">The decision.</param>
/// <param name="Mowed">They mowed.</param>
/// <param name="HighC">Highest temperature of the day as it came [°C].</param>
/// <param name="LowC">Lowest [°C].</param>
/// <param name="RainMm">Rain of the day as it came [mm].</param>
internal sealed record DemoDay(
    LocalDate Date,
    string Subject,
    string File,
    MowingAdvice Mowing,
    bool Mowed,
    double HighC,
    double LowC,
    double RainMm
)
{
    /// <summary>The rule that weighed most against mowing, the owners' own hours aside; null when none did.</summary>
    public string? Obstacle =>
        Mowing
            .Reasons.Where(r =>
                r.Weight == AdviceWeight.Blocks
                && !string.Equals(r.Rule, "owner-hours", StringComparison.Ordinal)
            )
            .Select(r => r.Rule)
            .FirstOrDefault();
}

/// <summary>What became of a household in the demo.</summary>
internal sealed record DemoYear(DemoHousehold Household, IReadOnlyList<DemoDay> Days);
