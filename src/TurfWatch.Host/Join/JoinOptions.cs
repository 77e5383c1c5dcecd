using TurfWatch.Mail;

namespace TurfWatch.Host.Join;

public sealed class JoinOptions
{
    public const string Section = "Join";

    /// <summary>Whether strangers may ask to join, by mail or on the page; invitations work either way.</summary>
    public bool Open { get; set; } = true;

    /// <summary>Domains whose addresses may join, for example example.org; empty means all.</summary>
    public List<string> Domains { get; set; } = [];

    /// <summary>Requests an hour that are answered from one network (a /24, or a /64 of IPv6).</summary>
    public int PerNetworkHour { get; set; } = 20;

    /// <summary>Requests an hour that are answered in all.</summary>
    public int PerHour { get; set; } = 500;

    /// <summary>How long a request waits for its confirmation before it is forgotten.</summary>
    public TimeSpan KeepPending { get; set; } = TimeSpan.FromDays(7);

    public IEnumerable<string> Faults()
    {
        foreach (var domain in Domains)
        {
            if (Uri.CheckHostName(domain) != UriHostNameType.Dns || !domain.Contains('.'))
            {
                yield return $"{Section}:{nameof(Domains)} holds '{domain}'; write bare domains such as example.org.";
            }
        }

        foreach (
            var (name, value) in new[]
            {
                (nameof(PerNetworkHour), PerNetworkHour),
                (nameof(PerHour), PerHour),
            }
        )
        {
            if (value is < 1 or > 1_000_000)
            {
                yield return $"{Section}:{name} is {value}; write a number from 1 to 1000000.";
            }
        }

        if (KeepPending < TimeSpan.FromHours(72) || KeepPending > TimeSpan.FromDays(60))
        {
            yield return $"{Section}:{nameof(KeepPending)} is {KeepPending:c}; write a duration from {TimeSpan.FromHours(72):c} to {TimeSpan.FromDays(60):c}: the link to confirm is good for 72 hours.";
        }
    }

    /// <summary>Whether an address may join.</summary>
    internal bool Admits(string email) =>
        Domains.Count == 0
        || Domains.Exists(d => email.EndsWith("@" + d, StringComparison.OrdinalIgnoreCase));
}
