using System.Text.Json;
using System.Text.Json.Serialization;

namespace TurfWatch.Weather.Nws;

// The answers' shapes, as far as we read them. Every member is optional: fields have come and gone,
// and any entry of a list may be null.

internal sealed record QuantityShape(
    string? UnitCode,
    double? Value,
    string? QualityControl = null
);

internal sealed record PointAnswer(PointProperties? Properties);

internal sealed record PointProperties(string? GridId, int? GridX, int? GridY, string? Type);

internal sealed record GridpointAnswer(JsonElement? Geometry, JsonElement? Properties);

internal sealed record StationsAnswer(IReadOnlyList<StationFeature?>? Features);

internal sealed record StationFeature(PointGeometry? Geometry, StationProperties? Properties);

internal sealed record PointGeometry(IReadOnlyList<double>? Coordinates);

internal sealed record StationProperties(string? StationIdentifier, QuantityShape? Elevation);

internal sealed record ObservationsAnswer(
    IReadOnlyList<ObservationFeature?>? Features,
    PaginationShape? Pagination = null
);

internal sealed record PaginationShape(string? Next);

internal sealed record ObservationFeature(ObservationProperties? Properties);

internal sealed record ObservationProperties(
    DateTimeOffset? Timestamp,
    QuantityShape? Temperature = null,
    QuantityShape? Dewpoint = null,
    QuantityShape? RelativeHumidity = null,
    QuantityShape? WindSpeed = null,
    QuantityShape? WindGust = null,
    QuantityShape? PrecipitationLastHour = null,
    IReadOnlyList<CloudLayerShape?>? CloudLayers = null
);

internal sealed record CloudLayerShape(string? Amount);

internal sealed record AlertsAnswer(IReadOnlyList<AlertFeature?>? Features);

internal sealed record AlertFeature(AlertProperties? Properties);

internal sealed record AlertProperties(
    string? Id,
    string? Status,
    string? MessageType,
    string? Event,
    string? Severity,
    string? SenderName,
    DateTimeOffset? Effective,
    DateTimeOffset? Onset,
    DateTimeOffset? Expires,
    DateTimeOffset? Ends,
    IReadOnlyList<AlertReference?>? References
);

internal sealed record AlertReference(string? Identifier);

[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    NumberHandling = JsonNumberHandling.AllowReadingFromString
)]
[JsonSerializable(typeof(PointAnswer))]
[JsonSerializable(typeof(GridpointAnswer))]
[JsonSerializable(typeof(StationsAnswer))]
[JsonSerializable(typeof(ObservationsAnswer))]
[JsonSerializable(typeof(AlertsAnswer))]
internal sealed partial class NwsJson : JsonSerializerContext;
