using Refit;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>The calls we make. Unknown query parameters are refused with 400, so none is sent that the service does not name.</summary>
public interface INwsApi
{
    [Get("/points/{latitude},{longitude}")]
    Task<HttpResponseMessage> PointAsync(
        string latitude,
        string longitude,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );

    [Get("/gridpoints/{office}/{x},{y}")]
    Task<HttpResponseMessage> GridpointAsync(
        string office,
        int x,
        int y,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );

    [Get("/gridpoints/{office}/{x},{y}/stations")]
    Task<HttpResponseMessage> StationsAsync(
        string office,
        int x,
        int y,
        int limit,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );

    [Get("/stations/{station}/observations")]
    Task<HttpResponseMessage> ObservationsAsync(
        string station,
        int limit,
        string? cursor,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );

    [Get("/alerts/active")]
    Task<HttpResponseMessage> ActiveAlertsAsync(
        string point,
        string status,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );
}
