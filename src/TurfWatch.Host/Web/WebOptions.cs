using System.Net;

namespace TurfWatch.Host.Web;

public sealed class WebOptions
{
    public const string Section = "Web";

    /// <summary>Where the service listens: for its pages, the links in messages and health checks.</summary>
    public string Listen { get; set; } = "http://127.0.0.1:5080";

    /// <summary>Addresses of the proxies in front of it, for example 127.0.0.1: what they say of who asks is believed, nobody else's word is.</summary>
    public List<string> KnownProxies { get; set; } = [];

    public IEnumerable<string> Faults()
    {
        foreach (var proxy in KnownProxies)
        {
            if (!IPAddress.TryParse(proxy, out _))
            {
                yield return $"{Section}:{nameof(KnownProxies)} holds '{proxy}'; write IP addresses such as 127.0.0.1.";
            }
        }

        if (
            !Uri.TryCreate(Listen, UriKind.Absolute, out var uri)
            || uri.Scheme is not ("http" or "https")
        )
        {
            yield return $"{Section}:{nameof(Listen)} is '{Listen}'; write the address to listen at, for example http://127.0.0.1:5080 (a proxy in front of it does the https).";
        }
    }
}
