using TurfWatch.Host.Web;

namespace TurfWatch.Host.Telemetry;

public sealed class MetricsOptions
{
    public const string Section = "Metrics";

    /// <summary>Where metrics can be read in the text form of Prometheus, at /metrics; an address of its own, such as http://127.0.0.1:9464. Empty means nowhere.</summary>
    public string Listen { get; set; } = "";

    public bool On => Listen.Length > 0;

    public IEnumerable<string> Faults()
    {
        if (On && !(Uri.TryCreate(Listen, UriKind.Absolute, out var uri) && uri.Scheme == "http"))
        {
            yield return $"{Section}:{nameof(Listen)} is '{Listen}'; write an address such as http://127.0.0.1:9464, or leave it empty.";
        }
    }

    /// <summary>Faults that show beside the address of the public pages: metrics are nobody else's business.</summary>
    public IEnumerable<string> Faults(WebOptions web)
    {
        if (
            Uri.TryCreate(Listen, UriKind.Absolute, out var own)
            && Uri.TryCreate(web.Listen, UriKind.Absolute, out var pages)
            && own.Port == pages.Port
            && own.Port != 0
        )
        {
            yield return $"{Section}:{nameof(Listen)} is '{Listen}', the port of the public pages ({WebOptions.Section}:{nameof(WebOptions.Listen)}); give the metrics a port of their own.";
        }
    }
}
