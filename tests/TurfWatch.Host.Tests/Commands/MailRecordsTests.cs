using TurfWatch.Host.Commands;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Mail.Signing;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>How the records of RFC 7489 (DMARC) and RFC 7505 (null MX) are read.</summary>
public sealed class MailRecordsTests
{
    [Theory]
    [InlineData("Well", "SPF counts for it", null, "v=DMARC1; p=none")]
    [InlineData("Well", "signed by example.org", "example.org", "v=DMARC1; p=reject; aspf=s")]
    [InlineData("Well", "hangs on the signature", "lawn.example.org", "v=DMARC1;p=none;aspf=s")]
    [InlineData("Wrong", "exact match", "example.org", "v=DMARC1; p=none; adkim=s; aspf=s")]
    [InlineData("Wrong", "without a p=", null, "v=DMARC1; rua=mailto:a@example.org")]
    [InlineData("Wrong", "without a p=", null, "v=DMARC1; p=perhaps")]
    [InlineData("Wrong", "2 DMARC records", null, "v=DMARC1; p=none", "v=DMARC1; p=reject")]
    [InlineData("Mind", "no DMARC record", null)]
    public void Dmarc_is_read(string state, string says, string? signer, params string[] texts)
    {
        // From a subdomain, returned to the domain above it.
        var path = new MailPath(
            new SenderOptions { FromAddress = "news@lawn.example.org" },
            new InboxOptions { Host = "imap.example.org", Address = "answers@example.org" },
            new SmtpOptions(),
            new DkimOptions { Domain = signer ?? "" }
        );
        var found = MailRecords.Dmarc(path, "_dmarc.lawn.example.org", texts);

        Assert.Equal(state, found.State.ToString());
        Assert.Contains(says, found.Says, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Well", "belongs to ours", "v=DKIM1; k=rsa; p=QUJD")]
    // RFC 6376, 3.6.1: tags in any order, white space inside the key.
    [InlineData("Well", "belongs to ours", "p=QU JD ;v=DKIM1", "some-other=text")]
    [InlineData("Wrong", "publish there the TXT 'v=DKIM1; k=rsa; p=QUJD'")]
    [InlineData("Wrong", "another key", "v=DKIM1; k=rsa; p=QUJE")]
    [InlineData("Wrong", "withdrawn", "v=DKIM1; p=")]
    [InlineData("Wrong", "2 keys", "v=DKIM1; p=QUJD", "v=DKIM1; p=QUJE")]
    public void Dkim_is_read(string state, string says, params string[] texts)
    {
        var found = MailRecords.Dkim("a._domainkey.example.org", "v=DKIM1; k=rsa; p=QUJD", texts);

        Assert.Equal(state, found.State.ToString());
        Assert.Contains(says, found.Says, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Well", new[] { "mx.example.net." }, new string[0])]
    [InlineData("Mind", new string[0], new[] { "192.0.2.1" })]
    [InlineData("Wrong", new string[0], new string[0])]
    [InlineData("Wrong", new[] { "." }, new[] { "192.0.2.1" })]
    public void Mx_is_read(string state, string[] servers, string[] addresses) =>
        Assert.Equal(state, MailRecords.Mx("example.org", servers, addresses).State.ToString());
}
