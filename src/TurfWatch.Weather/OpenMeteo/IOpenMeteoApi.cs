using Refit;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.OpenMeteo;

/// <summary>
/// The one call of Open-Meteo that we make. Times in GMT as Unix seconds: its local times carry one fixed
/// offset for the whole answer and are wrong across a change of the clocks.
/// </summary>
internal interface IOpenMeteoApi
{
    [Get("/v1/forecast?timezone=GMT&timeformat=unixtime&wind_speed_unit=ms")]
    Task<HttpResponseMessage> HourlyAsync(
        double latitude,
        double longitude,
        string hourly,
        [AliasAs("past_days")] int pastDays,
        [AliasAs("forecast_days")] int forecastDays,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );
}
