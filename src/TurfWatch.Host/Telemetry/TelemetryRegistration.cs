using System.Reflection;
using OpenTelemetry;
using OpenTelemetry.Exporter;
using OpenTelemetry.Logs;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;

namespace TurfWatch.Host.Telemetry;

/// <summary>
/// Joins what the code measures to where the operator wants it. With neither <c>Metrics:Listen</c> nor
/// <c>Telemetry:OtlpEndpoint</c> nothing is collected and nothing leaves the machine.
/// </summary>
internal static class TelemetryRegistration
{
    /// <summary>
    /// Meters of ours, of the runtime and of the web server. The server's own are by route pattern; its traces are
    /// left out, for they hold the path, and the path of a mailed link is a secret.
    /// </summary>
    private static readonly string[] Meters =
    [
        ServiceMeter.Name,
        ServiceGauges.Name,
        "TurfWatch.Weather",
        "System.Runtime",
        "Microsoft.AspNetCore.Hosting",
    ];

    private static readonly string[] Traces = [ServiceTraces.Name, "System.Net.Http"];

    public static void AddTelemetry(
        this IServiceCollection services,
        MetricsOptions metrics,
        TelemetryOptions telemetry
    )
    {
        if (!metrics.On && telemetry.OtlpEndpoint is null)
        {
            return;
        }

        var sdk = services.AddOpenTelemetry().ConfigureResource(Describe);
        // After the SDK, which must be listening when the series are set to zero.
        services.AddHostedService<ServiceGauges>();
        sdk.WithMetrics(meters =>
        {
            meters.AddMeter(Meters);
            if (metrics.On)
            {
                meters.AddPrometheusExporter();
            }

            if (telemetry.OtlpEndpoint is { } to)
            {
                meters.AddOtlpExporter(o => Send(o, to, "v1/metrics"));
            }
        });
        if (metrics.On)
        {
            services.AddSingleton<MetricsPage>();
            services.AddHostedService(s => s.GetRequiredService<MetricsPage>());
        }

        if (telemetry.OtlpEndpoint is { } endpoint)
        {
            sdk.WithTracing(traces =>
                traces.AddSource(Traces).AddOtlpExporter(o => Send(o, endpoint, "v1/traces"))
            );
            sdk.WithLogging(
                logs =>
                    logs.AddProcessor(new MaskedRecords())
                        .AddOtlpExporter(o => Send(o, endpoint, "v1/logs")),
                records => records.IncludeFormattedMessage = true
            );
        }
    }

    private static void Describe(ResourceBuilder resource) =>
        resource.AddService(
            "turfwatch",
            serviceVersion: typeof(TelemetryRegistration)
                .Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()
                ?.InformationalVersion
        );

    private static void Send(OtlpExporterOptions exporter, Uri endpoint, string path)
    {
        exporter.Protocol = OtlpExportProtocol.HttpProtobuf;
        exporter.Endpoint = new(endpoint.AbsoluteUri.TrimEnd('/') + "/" + path);
    }
}
