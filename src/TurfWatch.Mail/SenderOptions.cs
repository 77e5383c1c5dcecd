namespace TurfWatch.Mail;

/// <summary>Who the messages are from.</summary>
public sealed class SenderOptions
{
    public const string Section = "Mail:Sender";

    private const string Placeholder = "turfwatch@example.invalid";

    /// <summary>Name that readers see as the sender.</summary>
    public string FromName { get; set; } = "TurfWatch";

    /// <summary>Address that the messages are from, and to which refused mail returns.</summary>
    public string FromAddress { get; set; } = Placeholder;

    /// <summary>Address for answers; empty means the address that the messages are from.</summary>
    public string ReplyTo { get; set; } = "";

    /// <summary>Postal address of whoever runs the service, shown at the foot of every message; needed before mail is sent for real.</summary>
    public string PostalAddress { get; set; } = "";

    /// <summary>Domain in the List-Id header; empty means the domain of the address that the messages are from.</summary>
    public string ListIdDomain { get; set; } = "";

    /// <summary>Public https address of this service, for links; null means links by mail only.</summary>
    public Uri? PublicBaseUrl { get; set; }

    /// <summary>Address of the person who runs the service, for questions and for leaving by mail; empty means the address that the messages are from.</summary>
    public string OwnerAddress { get; set; } = "";

    internal string Reply => ReplyTo.Length > 0 ? ReplyTo : FromAddress;

    internal string Owner => OwnerAddress.Length > 0 ? OwnerAddress : FromAddress;

    /// <summary>Link to write to the owner (RFC 6068).</summary>
    internal string OwnerLink =>
        $"mailto:{Uri.EscapeDataString(Owner).Replace("%40", "@", StringComparison.Ordinal)}";

    public string FromDomain => FromAddress[(FromAddress.LastIndexOf('@') + 1)..];

    internal string ListDomain => ListIdDomain.Length > 0 ? ListIdDomain : FromDomain;

    /// <summary>Faults of form, whether or not mail is sent for real.</summary>
    public IEnumerable<string> Faults()
    {
        if (FromName.Any(char.IsControl))
        {
            yield return $"{Section}:FromName holds a line break or another control character; write one line of text.";
        }

        foreach (
            var (key, value) in new[]
            {
                (nameof(FromAddress), FromAddress),
                (nameof(ReplyTo), ReplyTo),
                (nameof(OwnerAddress), OwnerAddress),
            }
        )
        {
            if (
                value.Length == 0
                && !string.Equals(key, nameof(FromAddress), StringComparison.Ordinal)
            )
            {
                continue;
            }

            if (AddressRule.Check(value).Problem is { } problem)
            {
                yield return $"{Section}:{key} is '{value}': {problem} Write a bare address such as lawn@example.org.";
            }
        }

        if (ListIdDomain.Length > 0 && Uri.CheckHostName(ListIdDomain) != UriHostNameType.Dns)
        {
            yield return $"{Section}:ListIdDomain is '{ListIdDomain}'; write a domain of yours such as lawn.example.org, or leave it empty.";
        }

        if (
            PublicBaseUrl is { } url
            && (
                !url.IsAbsoluteUri
                || !string.Equals(url.Scheme, Uri.UriSchemeHttps, StringComparison.Ordinal)
                || url.Query.Length > 0
                || url.Fragment.Length > 0
            )
        )
        {
            yield return $"{Section}:PublicBaseUrl is '{url}'; write an absolute https address without a query, such as https://lawn.example.org, or leave it out.";
        }
    }

    /// <summary>All faults, given where mail goes: what may be left out in a trial must be there before mail is sent for real.</summary>
    public IEnumerable<string> Faults(SmtpOptions smtp)
    {
        foreach (var fault in Faults())
        {
            yield return fault;
        }

        if (!smtp.Configured)
        {
            yield break;
        }

        if (string.IsNullOrWhiteSpace(PostalAddress))
        {
            yield return $"{Section}:PostalAddress is empty while {SmtpOptions.Section}:Host is '{smtp.Host}'; write the postal address of whoever sends these messages (US law asks for it in list mail), or remove the host to write mail to a folder.";
        }

        if (FromAddress.EndsWith(".invalid", StringComparison.OrdinalIgnoreCase))
        {
            yield return $"{Section}:FromAddress is '{FromAddress}' while {SmtpOptions.Section}:Host is '{smtp.Host}'; write an address that the relay lets you send from.";
        }
    }
}
