using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>How long each kind of answer serves. The service's own s-maxage rules between the bounds.</summary>
internal sealed class NwsCacheRules(NwsOptions options)
{
    /// <summary>The mapping of places to cells changes seldom; its headers say a day.</summary>
    public CacheRule Place { get; } =
        new(
            TimeSpan.FromHours(1),
            TimeSpan.FromHours(24),
            TimeSpan.FromHours(24),
            TimeSpan.FromDays(30)
        );

    public CacheRule Forecast { get; } =
        new(
            TimeSpan.FromMinutes(5),
            TimeSpan.FromHours(1),
            TimeSpan.FromHours(2),
            options.ForecastKept
        );

    public CacheRule Observations { get; } =
        new(
            TimeSpan.FromMinutes(2),
            TimeSpan.FromMinutes(10),
            TimeSpan.FromMinutes(30),
            options.PastKept
        );

    public CacheRule Hazards { get; } =
        new(
            TimeSpan.FromSeconds(30),
            TimeSpan.FromMinutes(2),
            TimeSpan.FromMinutes(5),
            options.HazardsKept
        );
}
