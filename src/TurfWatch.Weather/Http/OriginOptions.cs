namespace TurfWatch.Weather.Http;

/// <summary>How one weather service is reached. Bound from <c>Weather:&lt;origin&gt;</c>.</summary>
public class OriginOptions
{
    /// <summary>Whether the service is asked at all.</summary>
    public bool Enabled { get; set; } = true;

    /// <summary>Base address; point it at a stub to try the program on recorded weather.</summary>
    public Uri? BaseAddress { get; set; }

    /// <summary>Limit of one try, body included.</summary>
    public TimeSpan AttemptTimeout { get; set; } = TimeSpan.FromSeconds(8);

    /// <summary>Limit of a request with all its tries and waits.</summary>
    public TimeSpan TotalTimeout { get; set; } = TimeSpan.FromSeconds(40);

    /// <summary>Extra tries after a passing fault, 0 to 5.</summary>
    public int Retries { get; set; } = 3;

    /// <summary>First wait before an extra try; it doubles, with jitter.</summary>
    public TimeSpan RetryDelay { get; set; } = TimeSpan.FromSeconds(1);

    /// <summary>Longest wait inside one request; a service that asks for more ends the request.</summary>
    public TimeSpan RetryDelayMax { get; set; } = TimeSpan.FromSeconds(10);

    /// <summary>Longest time for which a service's Retry-After keeps us from asking it again.</summary>
    public TimeSpan RetryAfterMax { get; set; } = TimeSpan.FromHours(1);

    /// <summary>How long the service is left alone once half of its recent answers were faults.</summary>
    public TimeSpan BreakDuration { get; set; } = TimeSpan.FromMinutes(2);

    /// <summary>Largest body accepted, after decompression [bytes].</summary>
    public int MaxBodyBytes { get; set; } = 8 * 1024 * 1024;

    /// <summary>How old a kept forecast may be when the service fails.</summary>
    public TimeSpan ForecastKept { get; set; } = TimeSpan.FromHours(24);

    /// <summary>How old kept past hours may be when the service fails.</summary>
    public TimeSpan PastKept { get; set; } = TimeSpan.FromDays(3);

    /// <summary>How old kept warnings may be when the service fails.</summary>
    public TimeSpan HazardsKept { get; set; } = TimeSpan.FromHours(1);

    /// <summary>One sentence for each fault of the values.</summary>
    /// <param name="section">Full name of the section, for example <c>Weather:Nws</c>.</param>
    public virtual IEnumerable<string> Faults(string section)
    {
        if (!Enabled)
        {
            yield break;
        }

        if (
            BaseAddress is not { IsAbsoluteUri: true }
            || (BaseAddress.Scheme != Uri.UriSchemeHttps && BaseAddress.Scheme != Uri.UriSchemeHttp)
        )
        {
            yield return $"{section}:BaseAddress is '{BaseAddress}'; write an absolute http or https address.";
        }

        var second = TimeSpan.FromSeconds(1);
        foreach (
            var (key, value, least, most) in new[]
            {
                (nameof(AttemptTimeout), AttemptTimeout, second, TimeSpan.FromMinutes(2)),
                (nameof(TotalTimeout), TotalTimeout, second, TimeSpan.FromMinutes(10)),
                (nameof(RetryDelay), RetryDelay, TimeSpan.Zero, TimeSpan.FromMinutes(1)),
                (nameof(RetryDelayMax), RetryDelayMax, TimeSpan.Zero, TimeSpan.FromMinutes(5)),
                (nameof(RetryAfterMax), RetryAfterMax, second, TimeSpan.FromDays(1)),
                (nameof(BreakDuration), BreakDuration, second, TimeSpan.FromHours(1)),
                (nameof(ForecastKept), ForecastKept, TimeSpan.Zero, TimeSpan.FromDays(3)),
                (nameof(PastKept), PastKept, TimeSpan.Zero, TimeSpan.FromDays(30)),
                (nameof(HazardsKept), HazardsKept, TimeSpan.Zero, TimeSpan.FromHours(6)),
            }
        )
        {
            if (value < least || value > most)
            {
                yield return $"{section}:{key} is {value}; write a time span from {least} to {most}.";
            }
        }

        if (AttemptTimeout > TotalTimeout)
        {
            yield return $"{section}:TotalTimeout is {TotalTimeout}, less than one try of {AttemptTimeout}; write a longer one.";
        }

        if (Retries is < 0 or > 5)
        {
            yield return $"{section}:Retries is {Retries}; write a number from 0 to 5.";
        }

        if (MaxBodyBytes is < 65_536 or > 67_108_864)
        {
            yield return $"{section}:MaxBodyBytes is {MaxBodyBytes}; write a number from 65536 to 67108864.";
        }
    }
}
