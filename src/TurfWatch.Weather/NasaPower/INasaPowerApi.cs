using Refit;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.NasaPower;

/// <summary>The calls of NASA POWER that we make. The time standard is always given: its default is solar time.</summary>
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

    /// <summary>Days in solar time: a day's extremes then belong to the night and the afternoon of one day of the place.</summary>
    [Get("/api/temporal/daily/point?community=AG&format=JSON&time-standard=LST")]
    Task<HttpResponseMessage> DailyAsync(
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
