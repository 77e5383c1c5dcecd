namespace TurfWatch.Host.Telemetry;

public sealed class TelemetryOptions
{
    public const string Section = "Telemetry";

    /// <summary>Where traces, logs and metrics are sent by OTLP over HTTP (protobuf), for example http://127.0.0.1:4318; null means nowhere.</summary>
    public Uri? OtlpEndpoint { get; set; }

    public IEnumerable<string> Faults()
    {
        if (OtlpEndpoint is { } url && !(url.IsAbsoluteUri && url.Scheme is "http" or "https"))
        {
            yield return $"{Section}:{nameof(OtlpEndpoint)} is '{url}'; write the address of your collector, such as http://127.0.0.1:4318, or leave it out.";
        }
    }
}
