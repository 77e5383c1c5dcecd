using TurfWatch.Host.Commands;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Mail.Signing;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>How the records of RFC 7208 (SPF), RFC 7489 (DMARC) and RFC 7505 (null MX) are read.</summary>
public sealed class MailRecordsTests
{
    [Theory]
    [InlineData("Well", "covers the relay", "v=spf1 ip4:192.0.2.0/24 -all")]
    [InlineData("Well", "covers the relay", "v=spf1 mx ip4:192.0.2.25 ~all")]
    // Host bits in the network: RFC 7208, 5.6 compares the high-order bits alone.
    [InlineData("Well", "covers the relay", "v=spf1 ip4:192.0.2.9/27 -all")]
    [InlineData("Well", "only its operator knows", "v=spf1 ip4:192.0.2.128/25 -all")]
    [InlineData("Well", "only its operator knows", "v=spf1 -ip4:192.0.2.25 -all")]
    [InlineData("Well", "only its operator knows", "v=spf1 include:relay.example.net -all")]
    [InlineData("Well", "only its operator knows", "v=spf1 ip6:2001:db8::/32 -all")]
    [InlineData("Wrong", "every machine in the world", "v=spf1 mx +all")]
    [InlineData("Wrong", "every machine in the world", "v=spf1 all")]
    [InlineData("Wrong", "2 SPF records", "v=spf1 mx -all", "v=spf1 a -all")]
    [InlineData("Mind", "no SPF record")]
    [InlineData("Mind", "no SPF record", "v=spf10 -all", "site-verification=1")]
    public void Spf_is_read(string state, string says, params string[] texts)
    {
        var found = MailRecords.Spf("example.org", texts, "smtp.example.net", ["192.0.2.25"]);

        Assert.Equal(state, found.State.ToString());
        Assert.Contains(says, found.Says, StringComparison.Ordinal);
    }

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
