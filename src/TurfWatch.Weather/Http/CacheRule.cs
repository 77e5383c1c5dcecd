using System.Net.Http.Headers;

namespace TurfWatch.Weather.Http;

/// <summary>
/// How long an answer serves. Given with each request: <c>[Property(CacheRule.Key)] CacheRule rule</c>.
/// A request without a rule is neither cached nor shared.
/// </summary>
/// <param name="FreshAtLeast">Served without asking for at least this long, whatever the service says.</param>
/// <param name="FreshByDefault">Likewise, when the service says nothing.</param>
/// <param name="FreshAtMost">Asked again after this at the latest.</param>
/// <param name="KeptFor">How long after the last confirmation it may stand in for a failing service.</param>
public sealed record CacheRule(
    TimeSpan FreshAtLeast,
    TimeSpan FreshByDefault,
    TimeSpan FreshAtMost,
    TimeSpan KeptFor
)
{
    /// <summary>Ask even while the kept answer is fresh.</summary>
    public bool AskAgain { get; init; }

    public const string Key = "turfwatch.cache-rule";

    internal static readonly HttpRequestOptionsKey<CacheRule> OptionsKey = new(Key);

    /// <summary>How long an answer with these headers is fresh.</summary>
    internal TimeSpan Lifetime(
        HttpResponseHeaders headers,
        DateTimeOffset? expires,
        DateTimeOffset now
    )
    {
        var control = headers.CacheControl;
        var said =
            control?.NoCache == true ? TimeSpan.Zero
            : control?.SharedMaxAge is { } shared ? shared
            : control?.MaxAge is { } own ? own
            : expires is { } until ? until - (headers.Date ?? now)
            : FreshByDefault;
        return said < FreshAtLeast ? FreshAtLeast
            : said > FreshAtMost ? FreshAtMost
            : said;
    }
}
