using NodaTime;

namespace TurfWatch.Core;

/// <summary>What a thermometer in the lawn's soil showed.</summary>
/// <param name="At">When; for a day without an hour, the likeliest hour.</param>
/// <param name="TemperatureC">What it showed [°C].</param>
/// <param name="DepthM">How deep its tip was [m], 0.03 to 0.15.</param>
/// <param name="HoursUnsure">How far off the hour may be (standard deviation) [h].</param>
public readonly record struct SoilReading(
    Instant At,
    double TemperatureC,
    double DepthM = 0.10,
    double HoursUnsure = 0
)
{
    // A reading whose hour nobody wrote down: most people go out after work (common practice, no source).
    private static readonly LocalTime LikelyHour = new(16, 0);
    private const double LikelySpreadHours = 3;

    // A time from someone's memory (judgement, no source).
    private const double ToldSpreadHours = 0.25;

    /// <summary>The readings of a journal, oldest first.</summary>
    /// <param name="record">The journal.</param>
    /// <param name="zone">The lawn's zone.</param>
    /// <param name="now">No reading is later than this.</param>
    public static IReadOnlyList<SoilReading> From(
        LawnRecord record,
        DateTimeZone zone,
        Instant now
    ) =>
        [
            .. record
                .Entries.Where(e => e is { Kind: JournalKind.SoilMeasured, Amount: not null })
                .Select(e => new SoilReading(
                    Instant.Min(
                        now,
                        (e.Date + (e.Time ?? LikelyHour)).InZoneLeniently(zone).ToInstant()
                    ),
                    e.Amount!.Value,
                    HoursUnsure: e.Time is null ? LikelySpreadHours : ToldSpreadHours
                ))
                .OrderBy(r => r.At),
        ];
}
