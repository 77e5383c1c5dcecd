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
/// <param name="Season">The alerts and the digest of that morning.</param>
/// <param name="Deeds">What they wrote into their journal that day, mowing aside.</param>
internal sealed record DemoDay(
    LocalDate Date,
    string Subject,
    string File,
    MowingAdvice Mowing,
    bool Mowed,
    double HighC,
    double LowC,
    double RainMm,
    IReadOnlyList<DemoMail> Season,
    IReadOnlyList<JournalEntry> Deeds
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

/// <summary>An alert or a digest as it was delivered.</summary>
/// <param name="Kind">Alert or digest.</param>
/// <param name="Event">What happened to the window; null for a digest.</param>
/// <param name="Subject">Its subject.</param>
/// <param name="File">The message as a page, relative to the demo folder.</param>
internal sealed record DemoMail(MessageKind Kind, WindowEvent? Event, string Subject, string File);

/// <summary>A window of the season as it came to pass.</summary>
/// <param name="Key">Its key.</param>
/// <param name="Name">What it is called.</param>
/// <param name="OpenFrom">The first day on which it stood open.</param>
/// <param name="OpenUntil">The last.</param>
/// <param name="DoneOn">The day on which the record said that it was done; null when it never did.</param>
internal sealed record DemoWindow(
    string Key,
    string Name,
    LocalDate OpenFrom,
    LocalDate OpenUntil,
    LocalDate? DoneOn
);

/// <summary>What became of a household in the demo.</summary>
internal sealed record DemoYear(
    DemoHousehold Household,
    IReadOnlyList<DemoDay> Days,
    IReadOnlyList<DemoWindow> Windows
);
