using Microsoft.Extensions.DependencyInjection;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

public static class NwsRegistration
{
    /// <summary>
    /// Registers <see cref="NwsSource"/>. The Accept header is always sent: the service's caches differ by
    /// it, and callers without one have been given answers that were days old.
    /// </summary>
    public static IServiceCollection AddNws(this IServiceCollection services, NwsOptions options) =>
        services
            .AddSingleton(options)
            .AddWeatherOrigin<INwsApi>(NwsSource.SourceId, options, "application/geo+json")
            .AddSingleton<NwsSource>();
}
