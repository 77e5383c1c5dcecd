using Refit;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.NasaPower;

/// <summary>The one call of NASA POWER that we make. The time standard is always given: its default is solar time.</summary>
internal interface INasaPowerApi
{
    [Get("/api/temporal/hourly/point?community=RE&format=JSON&time-standard=UTC")]
    Task<HttpResponseMessage> HourlyAsync(
        string parameters,
        double latitude,
        double longitude,
        string start,
        string end,
        string user,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );
}
