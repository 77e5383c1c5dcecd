using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using TurfWatch.Weather.Http;
using TurfWatch.Weather.NasaPower;
using TurfWatch.Weather.Nws;
using TurfWatch.Weather.OpenMeteo;

namespace TurfWatch.Weather;

/// <summary>The one call that gives the program its weather.</summary>
public static class WeatherRegistration
{
    /// <summary>Registers every source that <paramref name="options"/> enables.</summary>
    public static IServiceCollection AddTurfWatchWeather(
        this IServiceCollection services,
        WeatherOptions options
    )
    {
        services.AddWeatherHttp(options);
        if (options.Nws.Enabled)
        {
            services.AddNws(options.Nws);
        }

        if (options.NasaPower.Enabled)
        {
            services
                .AddWeatherOrigin<INasaPowerApi>(NasaPowerSource.SourceId, options.NasaPower)
                .AddSingleton(s => new NasaPowerSource(
                    s.GetRequiredService<INasaPowerApi>(),
                    options.NasaPower,
                    s.GetRequiredService<TimeProvider>()
                ));
        }

        if (options.OpenMeteo.Enabled)
        {
            services
                .AddWeatherOrigin<IOpenMeteoApi>(
                    OpenMeteoSource.SourceId,
                    options.OpenMeteo,
                    innermost: () => new ApiKeyHandler(options.OpenMeteo)
                )
                .AddSingleton(s => new OpenMeteoSource(
                    s.GetRequiredService<IOpenMeteoApi>(),
                    options.OpenMeteo,
                    s.GetRequiredService<TimeProvider>()
                ));
        }

        return services.AddSingleton(s => new WeatherDesk(
            s.GetService<NwsSource>(),
            s.GetService<NasaPowerSource>(),
            s.GetService<OpenMeteoSource>(),
            options,
            s.GetRequiredService<TimeProvider>(),
            s.GetRequiredService<ILogger<WeatherDesk>>()
        ));
    }
}
