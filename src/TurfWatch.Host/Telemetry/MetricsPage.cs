using OpenTelemetry.Metrics;
using TurfWatch.Host.Web;

namespace TurfWatch.Host.Telemetry;

/// <summary>Serves the metrics, and what troubles the service in full, at an address of their own: a server apart, so that neither the public pages are there nor the metrics here.</summary>
internal sealed partial class MetricsPage(
    MetricsOptions options,
    MeterProvider meters,
    HealthBoard health,
    ILogger<MetricsPage> log
) : IHostedService, IAsyncDisposable
{
    private WebApplication? _app;

    /// <summary>Where it listens, once it does.</summary>
    public string? Url => _app?.Urls.FirstOrDefault();

    public async Task StartAsync(CancellationToken cancellationToken)
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Configuration.Sources.Clear();
        builder.Configuration.AddInMemoryCollection();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls(options.Listen);
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.AddServerHeader = false);
        builder.Services.AddSingleton<IHostLifetime, NoSignals>();
        _app = builder.Build();
        _app.UseOpenTelemetryPrometheusScrapingEndpoint(meters, null, "/metrics", null, null);
        _app.MapReadyInFull(health);
        try
        {
            await _app.StartAsync(cancellationToken);
        }
        catch (IOException e)
            when (e.InnerException is Microsoft.AspNetCore.Connections.AddressInUseException)
        {
            throw new InvalidDataException(
                $"{MetricsOptions.Section}:Listen is '{options.Listen}', but something else listens there already; stop it, or write another port.",
                e
            );
        }

        Serves(log, Url);
    }

    public Task StopAsync(CancellationToken cancellationToken) =>
        _app?.StopAsync(cancellationToken) ?? Task.CompletedTask;

    public ValueTask DisposeAsync() => _app?.DisposeAsync() ?? ValueTask.CompletedTask;

    [LoggerMessage(LogLevel.Information, "Metrics at {Url}/metrics")]
    private static partial void Serves(ILogger log, string? url);

    /// <summary>Signals are for the service; this server ends when the service says so.</summary>
    private sealed class NoSignals : IHostLifetime
    {
        public Task WaitForStartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

        public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
    }
}
