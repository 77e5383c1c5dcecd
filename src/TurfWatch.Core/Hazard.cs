using NodaTime;

namespace TurfWatch.Core;

/// <summary>A warning, watch or advisory that an authority has in force for the place.</summary>
/// <param name="Event">The authority's name for it, for example "Severe Thunderstorm Warning".</param>
/// <param name="Severity">CAP severity: Extreme, Severe, Moderate, Minor or Unknown.</param>
/// <param name="Onset">When the hazard begins; null when not said.</param>
/// <param name="Ends">When the hazard ends; null when not said.</param>
/// <param name="Sender">Who issued it.</param>
public sealed record Hazard(
    string Event,
    string Severity,
    Instant? Onset,
    Instant? Ends,
    string Sender
);
