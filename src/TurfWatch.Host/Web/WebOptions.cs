namespace TurfWatch.Host.Web;

public sealed class WebOptions
{
    public const string Section = "Web";

    /// <summary>Where the service listens for health checks and unsubscribe links.</summary>
    public string Listen { get; set; } = "http://127.0.0.1:5080";

    public IEnumerable<string> Faults()
    {
        if (
            !Uri.TryCreate(Listen, UriKind.Absolute, out var uri)
            || uri.Scheme is not ("http" or "https")
        )
        {
            yield return $"{Section}:{nameof(Listen)} is '{Listen}'; write the address to listen at, for example http://127.0.0.1:5080 (a proxy in front of it does the https).";
        }
    }
}
