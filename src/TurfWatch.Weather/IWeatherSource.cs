using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Weather;

/// <summary>A public weather service. One answer is about one cell.</summary>
public interface IWeatherSource
{
    /// <summary>Short id, as it stands in <see cref="HourOrigin.Source"/>: <c>nws</c>.</summary>
    string Id { get; }

    /// <summary>The name under which its terms ask to be credited.</summary>
    string CreditName { get; }

    /// <summary>The hours to come, and those past hours that the same answer holds.</summary>
    /// <exception cref="WeatherSourceException">The source gave nothing usable.</exception>
    Task<SourceHours> ForecastAsync(WeatherCell cell, CancellationToken ct);

    /// <summary>Measured or analysed hours that end in [<paramref name="from"/>, <paramref name="to"/>], as far as the source has them.</summary>
    /// <exception cref="WeatherSourceException">The source gave nothing usable.</exception>
    Task<SourceHours> PastAsync(WeatherCell cell, Instant from, Instant to, CancellationToken ct);
}

/// <summary>What a source answered.</summary>
/// <param name="Hours">The hours.</param>
/// <param name="Note">How old and how good they are.</param>
public sealed record SourceHours(WeatherSeries Hours, DataNote Note);
