using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Host.Commands;

/// <summary>The names by which receivers judge our mail.</summary>
internal sealed record MailPath(
    SenderOptions Sender,
    InboxOptions Inbox,
    SmtpOptions Relay,
    DkimOptions Dkim
)
{
    /// <summary>The domain that signs here; null when nothing is signed here.</summary>
    public string? Signer => Dkim.Configured ? Dkim.Domain : null;

    /// <summary>What readers see the mail as coming from; DMARC is published there.</summary>
    public string FromDomain => DomainOf(Sender.FromAddress);

    /// <summary>Where refused mail returns.</summary>
    public string ReturnAddress =>
        !Inbox.Configured ? Sender.FromAddress
        : Inbox.BounceAddress.Length > 0 ? Inbox.BounceAddress
        : Inbox.Address;

    /// <summary>The domain of <see cref="ReturnAddress"/>; SPF is looked up there (RFC 7208, 2.4).</summary>
    public string ReturnDomain => DomainOf(ReturnAddress);

    /// <summary>Where answers go.</summary>
    public string AnswerDomain => Inbox.Configured ? DomainOf(Inbox.Address) : FromDomain;

    /// <summary>Whether DMARC counts a domain as the sender's: the same, or one above or below it.</summary>
    public static bool Aligned(string a, string b) =>
        string.Equals(a, b, StringComparison.OrdinalIgnoreCase)
        || a.EndsWith("." + b, StringComparison.OrdinalIgnoreCase)
        || b.EndsWith("." + a, StringComparison.OrdinalIgnoreCase);

    private static string DomainOf(string address) => address[(address.LastIndexOf('@') + 1)..];
}
