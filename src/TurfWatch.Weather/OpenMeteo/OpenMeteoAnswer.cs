using System.Text.Json.Serialization;

namespace TurfWatch.Weather.OpenMeteo;

/// <summary>An answer about one place. The arrays run parallel to <see cref="OpenMeteoHourly.Time"/>; any entry may be null.</summary>
internal sealed record OpenMeteoAnswer(
    [property: JsonPropertyName("error")] bool? Error,
    [property: JsonPropertyName("reason")] string? Reason,
    [property: JsonPropertyName("utc_offset_seconds")] int? UtcOffsetSeconds,
    [property: JsonPropertyName("hourly_units")] Dictionary<string, string?>? Units,
    [property: JsonPropertyName("hourly")] OpenMeteoHourly? Hourly
);

internal sealed record OpenMeteoHourly(
    [property: JsonPropertyName("time")] long[]? Time,
    [property: JsonPropertyName("temperature_2m")] double?[]? Temperature,
    [property: JsonPropertyName("dew_point_2m")] double?[]? DewPoint,
    [property: JsonPropertyName("relative_humidity_2m")] double?[]? Humidity,
    [property: JsonPropertyName("cloud_cover")] double?[]? Cloud,
    [property: JsonPropertyName("wind_speed_10m")] double?[]? Wind,
    [property: JsonPropertyName("wind_gusts_10m")] double?[]? Gust,
    [property: JsonPropertyName("shortwave_radiation")] double?[]? Shortwave,
    [property: JsonPropertyName("precipitation")] double?[]? Precipitation,
    [property: JsonPropertyName("precipitation_probability")] double?[]? Probability
);

[JsonSerializable(typeof(OpenMeteoAnswer))]
internal sealed partial class OpenMeteoJson : JsonSerializerContext;
