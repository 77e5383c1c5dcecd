using System.Net;
using TurfWatch.Host.Commands;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Mail.Signing;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>What <c>check</c> says of SPF (RFC 7208) and of the names of addresses (PTR), for a relay at a public address.</summary>
public sealed class CheckedSpfTests : IDisposable
{
    private readonly NameStub _names = new NameStub().Host("smtp.example.net", "192.0.2.25");

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _names.Dispose();

    [Theory]
    [InlineData("Well", "ip4:192.0.2.0/24 covers the relay", "v=spf1 ip4:192.0.2.0/24 -all")]
    [InlineData("Well", "ip4:192.0.2.25 covers the relay", "v=spf1 ip4:192.0.2.25 ~all")]
    [InlineData("Well", "1 of the 10 lookups", "v=spf1 a:smtp.example.net -all")]
    [InlineData("Mind", "to be refused (fail, by -all)", "v=spf1 ip4:192.0.2.128/25 -all")]
    [InlineData("Mind", "to be refused (fail, by -ip4:192.0.2.25)", "v=spf1 -ip4:192.0.2.25 -all")]
    [InlineData("Mind", "to be distrusted (softfail, by ~all)", "v=spf1 ip6:2001:db8::/32 ~all")]
    [InlineData("Mind", "neither allowed nor refused", "v=spf1 ip6:2001:db8::/32")]
    [InlineData(
        "Wrong",
        "include:gone.example.net' leads to nothing",
        "v=spf1 include:gone.example.net -all"
    )]
    [InlineData("Wrong", "'ip4:1.2.3' names no address", "v=spf1 ip4:1.2.3 -all")]
    [InlineData("Wrong", "every machine in the world", "v=spf1 mx +all")]
    [InlineData("Wrong", "every machine in the world", "v=spf1 all")]
    [InlineData("Wrong", "2 SPF records", "v=spf1 mx -all", "v=spf1 a -all")]
    [InlineData("Mind", "no SPF record")]
    [InlineData("Mind", "no SPF record", "v=spf10 -all", "site-verification=1")]
    public async Task Spf_is_held_against_the_relay(
        string state,
        string says,
        params string[] texts
    )
    {
        foreach (var text in texts)
        {
            _names.Text("example.org", text);
        }

        var found = Assert.Single(await SpfAsync());

        Assert.Equal(state, found.State.ToString());
        Assert.Contains(says, found.Says, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(
        "203.0.113.25",
        "Well",
        "ip4:203.0.113.0/24 covers 203.0.113.25, which the relay sends from"
    )]
    [InlineData("198.51.100.1", "Wrong", "mail from 198.51.100.1 is to be refused")]
    public async Task Spf_is_held_against_the_address_that_the_operator_names(
        string address,
        string state,
        string says
    )
    {
        _names.Text("example.org", "v=spf1 ip4:203.0.113.0/24 -all");

        var found = Assert.Single(await SpfAsync(IPAddress.Parse(address)));

        Assert.Equal(state, found.State.ToString());
        Assert.Contains(says, found.Says, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Each_address_of_the_relay_is_looked_at()
    {
        _names
            .Host("smtp.example.net", "2001:db8::25")
            .Text("example.org", "v=spf1 ip6:2001:db8::/32 -all");

        Assert.Equal([CheckState.Mind, CheckState.Well], (await SpfAsync()).Select(f => f.State));
    }

    [Theory]
    [InlineData("Well", "192.0.2.25 is smtp.example.net", "smtp.example.net")]
    [InlineData("Well", "192.0.2.25 is smtp.example.net", "other.example.net", "smtp.example.net")]
    [InlineData(
        "Mind",
        "is called other.example.net, which does not lead back",
        "other.example.net"
    )]
    [InlineData("Mind", "192.0.2.25 has no name (PTR)")]
    public async Task The_name_of_an_address_must_lead_back(
        string state,
        string says,
        params string[] names
    )
    {
        foreach (var name in names)
        {
            _names.Reverse("192.0.2.25", name);
        }

        var found = Assert.Single(await ReverseAsync());

        Assert.Equal((CheckId.DnsPtr, state), (found.Id, found.State.ToString()));
        Assert.Contains(says, found.Says, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("203.0.113.25", "has no name (PTR)")]
    [InlineData("192.168.1.9", "that is a private address")]
    public async Task An_address_that_the_operator_names_must_have_a_name(
        string address,
        string says
    )
    {
        var found = Assert.Single(await ReverseAsync(IPAddress.Parse(address)));

        Assert.Equal(CheckState.Wrong, found.State);
        Assert.Contains(says, found.Says, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("10.1.2.3", true)]
    [InlineData("172.31.0.1", true)]
    [InlineData("172.32.0.1", false)]
    [InlineData("192.168.0.1", true)]
    [InlineData("127.0.0.1", true)]
    [InlineData("169.254.1.1", true)]
    [InlineData("192.0.2.25", false)]
    [InlineData("fd00::1", true)]
    [InlineData("fe80::1", true)]
    [InlineData("::1", true)]
    [InlineData("2001:db8::1", false)]
    public void Private_addresses_are_known(string address, bool isPrivate) =>
        Assert.Equal(isPrivate, SendingAddresses.IsPrivate(IPAddress.Parse(address)));

    private async Task<IReadOnlyList<CheckFinding>> SpfAsync(params IPAddress[] named)
    {
        var path = new MailPath(
            new SenderOptions { FromAddress = "lawn@example.org" },
            new InboxOptions(),
            new SmtpOptions { Host = "smtp.example.net" },
            new DkimOptions()
        );
        return await CheckedSpf.LookAsync(path, await FromAsync(named), Server, Cancel);
    }

    private async Task<IReadOnlyList<CheckFinding>> ReverseAsync(params IPAddress[] named) =>
        await CheckedReverse.LookAsync(await FromAsync(named), Server, Cancel);

    private NameServer Server => NameServer.Of(_names.Address);

    private Task<SendingAddresses> FromAsync(IPAddress[] named) =>
        SendingAddresses.OfAsync("smtp.example.net", named, Server, Cancel);
}
