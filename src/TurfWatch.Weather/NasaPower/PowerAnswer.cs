using System.Text.Json.Serialization;

namespace TurfWatch.Weather.NasaPower;

/// <summary>A point answer, as far as we read it. Every member may be missing.</summary>
internal sealed record PowerAnswer(
    [property: JsonPropertyName("geometry")] PowerGeometry? Geometry,
    [property: JsonPropertyName("properties")] PowerProperties? Properties,
    [property: JsonPropertyName("header")] PowerHeader? Header,
    [property: JsonPropertyName("parameters")] Dictionary<string, PowerUnits>? Parameters
);

internal sealed record PowerGeometry(
    [property: JsonPropertyName("coordinates")] double[]? Coordinates
);

/// <summary>Parameter → stamp (<c>YYYYMMDDHH</c>, the START of the hour) → value.</summary>
internal sealed record PowerProperties(
    [property: JsonPropertyName("parameter")]
        Dictionary<string, Dictionary<string, double?>?>? Parameter
);

internal sealed record PowerHeader(
    [property: JsonPropertyName("fill_value")] double? FillValue,
    [property: JsonPropertyName("time_standard")] string? TimeStandard
);

internal sealed record PowerUnits([property: JsonPropertyName("units")] string? Units);

[JsonSourceGenerationOptions(
    NumberHandling = JsonNumberHandling.AllowReadingFromString
        | JsonNumberHandling.AllowNamedFloatingPointLiterals
)]
[JsonSerializable(typeof(PowerAnswer))]
internal sealed partial class PowerJson : JsonSerializerContext;
