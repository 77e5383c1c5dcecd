using System.Text.Json.Serialization;

namespace TurfWatch.Weather.NasaPower;

/// <summary>A point answer, as far as we read it. Every member may be missing.</summary>
internal sealed record PowerAnswer(
    [property: JsonPropertyName("geometry")] PowerGeometry? Geometry,
    [property: JsonPropertyName("properties")] PowerProperties? Properties,
    [property: JsonPropertyName("header")] PowerHeader? Header,
    [property: JsonPropertyName("parameters")] Dictionary<string, PowerUnits>? Parameters
)
{
    private const double UsualFill = -999;

    // Cooling with height of the international standard atmosphere (ISO 2533:1975) [K/m].
    private const double LapseKPerM = 0.0065;

    // The shore of the Dead Sea, and the highest cells of the Himalaya, with room.
    private const double LowestM = -500;
    private const double HighestM = 9000;

    /// <summary>Whether a number only says that there is none.</summary>
    public bool IsFill(double value) => value == Header?.FillValue || value == UsualFill;

    /// <summary>What brings a temperature from POWER's cell to a height [K]; 0 when either height is not known.</summary>
    public double ShiftTo(double? elevationM) =>
        elevationM is { } here
        && Geometry?.Coordinates is [_, _, var there, ..]
        // A height that is none would make temperatures that are none.
        && there is >= LowestM and <= HighestM
            ? (there - here) * LapseKPerM
            : 0;
}

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
