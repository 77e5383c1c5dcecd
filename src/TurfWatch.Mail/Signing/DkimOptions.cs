namespace TurfWatch.Mail.Signing;

/// <summary>The signature that messages carry (DKIM, RFC 6376). None of its keys set means that the relay signs, or nobody.</summary>
public sealed class DkimOptions
{
    public const string Section = "Mail:Dkim";

    /// <summary>Domain that signs: that of Mail:Sender:FromAddress, or one above it.</summary>
    public string Domain { get; set; } = "";

    /// <summary>Name of the key in the DNS: its record is at SELECTOR._domainkey.DOMAIN.</summary>
    public string Selector { get; set; } = "";

    /// <summary>File with the private key: RSA of 2048 bits or more, PEM, without a passphrase.</summary>
    public string PrivateKeyFile { get; set; } = "";

    /// <summary>Messages are signed here.</summary>
    public bool Configured => Domain.Length + Selector.Length + PrivateKeyFile.Length > 0;

    public IEnumerable<string> Faults()
    {
        if (!Configured)
        {
            yield break;
        }

        if (!IsName(Domain) || !Domain.Contains('.', StringComparison.Ordinal))
        {
            yield return $"{Section}:Domain is '{Domain}'; write the domain that signs, such as example.org, or leave all of {Section} out.";
        }

        if (!IsName(Selector))
        {
            yield return $"{Section}:Selector is '{Selector}'; write a name for the key, such as lawn2026: letters, digits and hyphens.";
        }

        if (PrivateKeyFile.Length == 0)
        {
            yield return $"{Section}:PrivateKeyFile is empty; make a key with 'openssl genrsa -out dkim.pem 2048' and write the path of its file.";
        }
        else if (DkimKey.FaultOf(PrivateKeyFile) is { } fault)
        {
            yield return $"{Section}:PrivateKeyFile is '{PrivateKeyFile}', {fault}.";
        }
    }

    /// <summary>Faults that show only beside the sender: a signature of another domain proves nothing about the sender (RFC 7489, 3.1.1).</summary>
    public IEnumerable<string> Faults(SenderOptions sender)
    {
        if (
            Domain.Length > 0
            && !string.Equals(sender.FromDomain, Domain, StringComparison.OrdinalIgnoreCase)
            && !sender.FromDomain.EndsWith("." + Domain, StringComparison.OrdinalIgnoreCase)
        )
        {
            yield return $"{Section}:Domain is '{Domain}', but messages are from {sender.FromAddress} ({SenderOptions.Section}:FromAddress); sign with '{sender.FromDomain}' or a domain above it, or receivers will not count the signature as the sender's.";
        }
    }

    private static bool IsName(string name) => Uri.CheckHostName(name) == UriHostNameType.Dns;
}
