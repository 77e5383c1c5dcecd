using System.Net;
using System.Security.Cryptography;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Logging;
using Polly;
using Polly.CircuitBreaker;
using Polly.Retry;
using Refit;

namespace TurfWatch.Weather.Http;

/// <summary>Registers a weather service's Refit interface with the handlers and the pipeline that all of them share.</summary>
public static class WeatherHttp
{
    private const int WaitingRequests = 100_000;
    private const int FewestToJudge = 10;

    /// <summary>What the origins share; call once, before <see cref="AddWeatherOrigin{TApi}"/>.</summary>
    public static IServiceCollection AddWeatherHttp(
        this IServiceCollection services,
        WeatherOptions options
    )
    {
        services.TryAddSingleton(TimeProvider.System);
        services.AddLogging();
        services.AddSingleton(options);
        services.AddSingleton<WeatherCache>();
        services.AddSingleton(s => new RetryBudget(
            options.RetryBudgetRatio,
            options.RetryBudgetBurst,
            s.GetRequiredService<TimeProvider>()
        ));
        return services;
    }

    /// <summary>One origin: cache → concurrency limit → total time-out → retry → circuit breaker → time-out of a try → body guard.</summary>
    /// <param name="services">The program's services.</param>
    /// <param name="name">Short id of the origin, unique.</param>
    /// <param name="origin">Its settings.</param>
    /// <param name="accept">The media type to ask for.</param>
    /// <param name="innermost">A handler beneath the cache and the log, for what neither may see.</param>
    public static IServiceCollection AddWeatherOrigin<TApi>(
        this IServiceCollection services,
        string name,
        OriginOptions origin,
        string accept = "application/json",
        Func<DelegatingHandler>? innermost = null
    )
        where TApi : class
    {
        services.AddKeyedSingleton(name, (_, _) => new OriginState(name, origin));
        var client = services
            .AddRefitGeneratedClient<TApi>()
            .ConfigureHttpClient(
                (s, c) =>
                {
                    c.BaseAddress = origin.BaseAddress;
                    c.Timeout = Timeout.InfiniteTimeSpan; // the pipeline owns the time-outs
                    c.DefaultRequestHeaders.TryAddWithoutValidation(
                        "User-Agent",
                        s.GetRequiredService<WeatherOptions>().UserAgent
                    );
                    c.DefaultRequestHeaders.TryAddWithoutValidation("Accept", accept);
                }
            )
            .ConfigurePrimaryHttpMessageHandler(() =>
                new SocketsHttpHandler
                {
                    AutomaticDecompression = DecompressionMethods.All,
                    MaxAutomaticRedirections = 3,
                    PooledConnectionLifetime = TimeSpan.FromMinutes(5),
                    UseCookies = false,
                }
            );
        client.AddHttpMessageHandler(s => new CacheHandler(
            s.GetRequiredKeyedService<OriginState>(name),
            s.GetRequiredService<WeatherCache>(),
            s.GetRequiredService<TimeProvider>(),
            s.GetRequiredService<ILogger<CacheHandler>>()
        ));
        client.AddResilienceHandler(
            name,
            (pipeline, context) =>
                Build(
                    pipeline,
                    origin,
                    context.ServiceProvider.GetRequiredService<WeatherOptions>(),
                    context.ServiceProvider.GetRequiredService<RetryBudget>(),
                    context.ServiceProvider.GetRequiredService<TimeProvider>()
                )
        );
        client.AddHttpMessageHandler(s => new BodyGuardHandler(
            s.GetRequiredKeyedService<OriginState>(name),
            s.GetRequiredService<TimeProvider>(),
            s.GetRequiredService<ILogger<BodyGuardHandler>>()
        ));
        if (innermost is not null)
        {
            client.AddHttpMessageHandler(innermost);
        }

        return services;
    }

    private static void Build(
        ResiliencePipelineBuilder<HttpResponseMessage> pipeline,
        OriginOptions origin,
        WeatherOptions weather,
        RetryBudget budget,
        TimeProvider time
    )
    {
        pipeline.TimeProvider = time;
        pipeline
            .AddConcurrencyLimiter(weather.MaxConcurrentPerOrigin, WaitingRequests)
            .AddTimeout(origin.TotalTimeout);
        if (origin.Retries > 0)
        {
            pipeline.AddRetry(Retry(origin, budget, time));
        }

        pipeline
            .AddCircuitBreaker(
                new CircuitBreakerStrategyOptions<HttpResponseMessage>
                {
                    FailureRatio = 0.5,
                    MinimumThroughput = FewestToJudge,
                    SamplingDuration = TimeSpan.FromMinutes(1),
                    BreakDuration = origin.BreakDuration,
                    ShouldHandle = a =>
                        ValueTask.FromResult(RetryRule.CountsAgainstOrigin(a.Outcome)),
                }
            )
            .AddTimeout(origin.AttemptTimeout);
    }

    private static RetryStrategyOptions<HttpResponseMessage> Retry(
        OriginOptions origin,
        RetryBudget budget,
        TimeProvider time
    ) =>
        new()
        {
            MaxRetryAttempts = origin.Retries,
            Delay = origin.RetryDelay,
            MaxDelay = origin.RetryDelayMax,
            BackoffType = DelayBackoffType.Exponential,
            UseJitter = true,
            ShouldHandle = a =>
            {
                if (a.AttemptNumber == 0)
                {
                    budget.Earn();
                }

                var wait = RetryRule.Wait(a.Outcome, time.GetUtcNow());
                return ValueTask.FromResult(
                    a.AttemptNumber < origin.Retries
                        && !(wait > origin.RetryDelayMax)
                        // One that was held back was not sent: sending it after the pause is no extra try.
                        && (
                            a.Outcome.Exception is HeldBackException
                            || (RetryRule.IsPassing(a.Outcome) && budget.TrySpend())
                        )
                );
            },
            DelayGenerator = a =>
                ValueTask.FromResult(
                    RetryRule.Wait(a.Outcome, time.GetUtcNow()) is { } wait
                        ? wait
                            + TimeSpan.FromMilliseconds(RandomNumberGenerator.GetInt32(100, 1500))
                        : (TimeSpan?)null
                ),
        };
}
