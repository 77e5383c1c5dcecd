using NodaTime;

namespace TurfWatch.Core;

/// <summary>How an hour of weather came to be known.</summary>
public enum HourKind
{
    /// <summary>Nothing is known of the hour.</summary>
    Missing,

    /// <summary>Read from an instrument.</summary>
    Measured,

    /// <summary>A model's analysis of what was (reanalysis, or a kept grid hour that has passed).</summary>
    Analysed,

    /// <summary>Foretold.</summary>
    Forecast,
}

/// <summary>Where an hour of weather is from.</summary>
/// <param name="Kind">Measured, analysed or forecast.</param>
/// <param name="Source">Id of the weather source, for example <c>nws</c> or <c>nasa-power</c>.</param>
/// <param name="IssuedAt">When the source issued it; null when the source does not say.</param>
public sealed record HourOrigin(HourKind Kind, string Source, Instant? IssuedAt)
{
    /// <summary>The origin of an hour of which nothing is known.</summary>
    public static readonly HourOrigin None = new(HourKind.Missing, "", null);
}
