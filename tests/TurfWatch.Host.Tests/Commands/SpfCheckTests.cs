using System.Net;
using TurfWatch.Host.Commands;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>SPF as RFC 7208 has it, over a name server in real packets. The zone is that of its Appendix A.</summary>
public sealed class SpfCheckTests : IDisposable
{
    private const string Domain = "example.com";

    private readonly NameStub _names = new NameStub()
        .MailServer("example.com", "mail-a.example.com")
        .MailServer("example.com", "mail-b.example.com")
        .Host("example.com", "192.0.2.10")
        .Host("example.com", "192.0.2.11")
        .Host("amy.example.com", "192.0.2.65")
        .Host("bob.example.com", "192.0.2.66")
        .Host("mail-a.example.com", "192.0.2.129")
        .Host("mail-b.example.com", "192.0.2.130")
        .MailServer("example.org", "mail-c.example.org")
        .Host("mail-c.example.org", "192.0.2.140")
        .Reverse("192.0.2.10", "example.com")
        .Reverse("192.0.2.11", "example.com")
        .Reverse("192.0.2.65", "amy.example.com")
        .Reverse("192.0.2.66", "bob.example.com")
        .Reverse("192.0.2.129", "mail-a.example.com")
        .Reverse("192.0.2.130", "mail-b.example.com")
        .Reverse("192.0.2.140", "mail-c.example.org")
        .Reverse("10.0.0.4", "bob.example.com");

    public void Dispose() => _names.Dispose();

    // RFC 7208, Appendix A.1: each record with the hosts that it passes and some that it does not.
    [Theory]
    [InlineData("v=spf1 +all", "192.0.2.140", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 a -all", "192.0.2.10", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 a -all", "192.0.2.11", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 a -all", "192.0.2.65", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 a:example.org -all", "192.0.2.10", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 a:example.org -all", "192.0.2.140", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 mx -all", "192.0.2.129", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 mx -all", "192.0.2.130", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 mx -all", "192.0.2.10", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 mx:example.org -all", "192.0.2.140", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 mx:example.org -all", "192.0.2.129", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 mx mx:example.org -all", "192.0.2.130", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 mx mx:example.org -all", "192.0.2.140", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 mx/30 mx:example.org/30 -all", "192.0.2.131", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 mx/30 mx:example.org/30 -all", "192.0.2.143", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 mx/30 mx:example.org/30 -all", "192.0.2.132", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 ptr -all", "192.0.2.65", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 ptr -all", "192.0.2.140", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 ptr -all", "10.0.0.4", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 ip4:192.0.2.128/28 -all", "192.0.2.65", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 ip4:192.0.2.128/28 -all", "192.0.2.129", nameof(SpfResult.Pass))]
    public async Task The_simple_examples_of_the_standard(string record, string from, string result)
    {
        _names.Text(Domain, record);

        Assert.Equal(result, (await CheckAsync(from)).Result.ToString());
    }

    // Appendix A.2: one domain that includes others, one that is redirected to it.
    [Theory]
    [InlineData("example.org", "192.0.2.129", nameof(SpfResult.Pass))]
    [InlineData("la.example.org", "192.0.2.129", nameof(SpfResult.Pass))]
    [InlineData("la.example.org", "192.0.2.66", nameof(SpfResult.Fail))]
    public async Task Includes_and_redirects_of_the_standard(
        string domain,
        string from,
        string result
    )
    {
        _names
            .Text("example.org", "v=spf1 include:example.com include:example.net -all")
            .Text("la.example.org", "v=spf1 redirect=example.org")
            .Text("example.com", "v=spf1 mx -all")
            .Text("example.net", "v=spf1 ip4:203.0.113.0/24 -all");

        var verdict = await CheckAsync(from, domain);

        Assert.Equal(result, verdict.Result.ToString());
        if (domain.StartsWith("la.", StringComparison.Ordinal) && result == nameof(SpfResult.Pass))
        {
            Assert.Equal("redirect=example.org → include:example.com → mx", verdict.Why);
            Assert.Equal(3, verdict.Lookups);
        }
    }

    // Appendix A.3 and A.4: lists by macros, and several conditions at once.
    [Theory]
    [InlineData("mary@example.com", "192.0.2.200", nameof(SpfResult.Pass))]
    [InlineData("joel@example.com", "192.0.2.201", nameof(SpfResult.Pass))]
    [InlineData("fred@example.com", "192.0.2.202", nameof(SpfResult.Fail))]
    public async Task Lists_by_name_and_by_address_of_the_standard(
        string sender,
        string from,
        string result
    )
    {
        _names
            .Text(
                Domain,
                "v=spf1 mx include:mobile-users._spf.%{d} include:remote-users._spf.%{d} -all"
            )
            .Text("mobile-users._spf.example.com", "v=spf1 exists:%{l1r+}.%{d}")
            .Text("remote-users._spf.example.com", "v=spf1 exists:%{ir}.%{l1r+}.%{d}")
            .Host("mary.mobile-users._spf.example.com", "127.0.0.2")
            .Host("201.2.0.192.joel.remote-users._spf.example.com", "127.0.0.2");

        Assert.Equal(result, (await CheckAsync(from, sender: sender)).Result.ToString());
    }

    // Section 7.4, for the sender and the addresses that it names.
    [Theory]
    [InlineData("%{s}", "strong-bad@email.example.com")]
    [InlineData("%{o}", "email.example.com")]
    [InlineData("%{d}", "email.example.com")]
    [InlineData("%{d4}", "email.example.com")]
    [InlineData("%{d3}", "email.example.com")]
    [InlineData("%{d2}", "example.com")]
    [InlineData("%{d1}", "com")]
    [InlineData("%{dr}", "com.example.email")]
    [InlineData("%{d2r}", "example.email")]
    [InlineData("%{l}", "strong-bad")]
    [InlineData("%{l-}", "strong.bad")]
    [InlineData("%{lr}", "strong-bad")]
    [InlineData("%{lr-}", "bad.strong")]
    [InlineData("%{l1r-}", "strong")]
    [InlineData("%{ir}.%{v}._spf.%{d2}", "3.2.0.192.in-addr._spf.example.com")]
    [InlineData("%{lr-}.lp._spf.%{d2}", "bad.strong.lp._spf.example.com")]
    [InlineData(
        "%{lr-}.lp.%{ir}.%{v}._spf.%{d2}",
        "bad.strong.lp.3.2.0.192.in-addr._spf.example.com"
    )]
    [InlineData("%{ir}.%{v}.%{l1r-}.lp._spf.%{d2}", "3.2.0.192.in-addr.strong.lp._spf.example.com")]
    [InlineData("%{d2}.trusted-domains.example.net", "example.com.trusted-domains.example.net")]
    public void Macros_of_the_standard(string macro, string expanded) =>
        Assert.Equal(expanded, Of("192.0.2.3").Expand(macro, "email.example.com", macro));

    [Fact]
    public void A_macro_of_the_standard_over_IPv6() =>
        Assert.Equal(
            "1.0.b.c.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.8.b.d.0.1.0.0.2.ip6._spf.example.com",
            Of("2001:db8::cb01").Expand("%{ir}.%{v}._spf.%{d2}", "email.example.com", "")
        );

    // Section 12, the grammar; 4.6: a fault anywhere spoils the whole record, though a term before it would match.
    [Theory]
    [InlineData("v=spf1 +all ip4:300.0.0.1")]
    [InlineData("v=spf1 +all ip4:192.0.2")]
    [InlineData("v=spf1 +all ip4:192.0.2.0/33")]
    [InlineData("v=spf1 +all ip4:192.0.2.0/08")]
    [InlineData("v=spf1 +all ip6:192.0.2.0")]
    [InlineData("v=spf1 +all ip6:2001:db8::/129")]
    [InlineData("v=spf1 +all a/33")]
    [InlineData("v=spf1 +all a:")]
    [InlineData("v=spf1 +all mx:localhost")]
    [InlineData("v=spf1 +all a:example.123")]
    [InlineData("v=spf1 +all include")]
    [InlineData("v=spf1 +all include:")]
    [InlineData("v=spf1 +all all:example.org")]
    [InlineData("v=spf1 +all ipv4:192.0.2.1")]
    [InlineData("v=spf1 +all -redirect=example.org")]
    [InlineData("v=spf1 +all redirect=example.org redirect=example.net")]
    [InlineData("v=spf1 +all exists:%{q}.example.org")]
    [InlineData("v=spf1 +all exists:%{d0}.example.org")]
    [InlineData("v=spf1 +all exists:%x.example.org")]
    [InlineData("v=spf1 +all exists:%{d.example.org")]
    public async Task A_fault_of_grammar_is_a_permanent_error(string record)
    {
        _names.Text(Domain, record);

        Assert.Equal(SpfResult.PermError, (await CheckAsync("192.0.2.10")).Result);
    }

    [Theory]
    // Host bits in the network: 5.6 compares the high-order bits alone.
    [InlineData("v=spf1 ip4:192.0.2.9/27 -all", "192.0.2.25", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 -ip4:192.0.2.25 +all", "192.0.2.25", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 ~all", "192.0.2.25", nameof(SpfResult.SoftFail))]
    [InlineData("v=spf1 ?all", "192.0.2.25", nameof(SpfResult.Neutral))]
    // 4.7: nothing matches.
    [InlineData("v=spf1 ip4:198.51.100.1", "192.0.2.25", nameof(SpfResult.Neutral))]
    [InlineData("v=spf1", "192.0.2.25", nameof(SpfResult.Neutral))]
    // 4.6.1: names in any case; 6: modifiers that nobody knows.
    [InlineData("V=SPF1 MX:EXAMPLE.ORG moo=%{d} -ALL", "192.0.2.140", nameof(SpfResult.Pass))]
    // 4.5: another version is no record.
    [InlineData("v=spf10 +all", "192.0.2.25", nameof(SpfResult.None))]
    // 6.1: a redirect is heeded only where nothing matches.
    [InlineData("v=spf1 redirect=example.org ip4:192.0.2.25", "192.0.2.25", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 redirect=example.org", "192.0.2.25", nameof(SpfResult.PermError))]
    // 5.2: an include of a domain without a record.
    [InlineData("v=spf1 include:example.org -all", "192.0.2.25", nameof(SpfResult.PermError))]
    [InlineData("v=spf1 ip6:2001:db8::/32 -all", "2001:db8:1::25", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 ip6:2001:db8::/32 -all", "2001:db9::25", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 ip4:0.0.0.0/0 -all", "2001:db8::25", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 a:six.example.com/32//64 -all", "2001:db8:5::77", nameof(SpfResult.Pass))]
    [InlineData("v=spf1 a:six.example.com//128 -all", "2001:db8:5::77", nameof(SpfResult.Fail))]
    [InlineData("v=spf1 a:amy.example.com//128 -all", "192.0.2.65", nameof(SpfResult.Pass))]
    public async Task What_each_term_means(string record, string from, string result)
    {
        _names.Text(Domain, record).Host("six.example.com", "2001:db8:5::1");

        Assert.Equal(result, (await CheckAsync(from)).Result.ToString());
    }

    [Fact]
    public async Task Two_records_are_a_permanent_error()
    {
        _names.Text(Domain, "v=spf1 mx -all").Text(Domain, "v=spf1 a -all");

        Assert.Equal(SpfResult.PermError, (await CheckAsync("192.0.2.10")).Result);
    }

    // Section 4.6.4: ten terms that ask, wherever they stand.
    [Theory]
    [InlineData(10, nameof(SpfResult.Pass))]
    [InlineData(11, nameof(SpfResult.PermError))]
    public async Task Ten_lookups_and_no_more(int lookups, string result)
    {
        // One is the include, the others are within.
        var terms = Enumerable.Repeat("a:amy.example.com", lookups - 2);
        _names
            .Text(Domain, "v=spf1 include:_spf.example.com -all")
            .Text("_spf.example.com", $"v=spf1 {string.Join(' ', terms)} a:bob.example.com -all");

        var verdict = await CheckAsync("192.0.2.66");

        Assert.Equal(result, verdict.Result.ToString());
        if (result == nameof(SpfResult.PermError))
        {
            Assert.Contains("beyond the 10", verdict.Why, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task A_record_that_includes_itself_ends()
    {
        _names.Text(Domain, "v=spf1 include:example.com -all");

        Assert.Equal(SpfResult.PermError, (await CheckAsync("192.0.2.66")).Result);
    }

    // Section 4.6.4: at most two that find nothing, and at most ten servers of a domain.
    [Theory]
    [InlineData(2, nameof(SpfResult.Pass))]
    [InlineData(3, nameof(SpfResult.PermError))]
    public async Task Two_lookups_that_find_nothing_and_no_more(int nothing, string result)
    {
        var terms = Enumerable.Range(0, nothing).Select(i => $"a:gone{i}.example.com");
        _names.Text(Domain, $"v=spf1 {string.Join(' ', terms)} +all");

        Assert.Equal(result, (await CheckAsync("192.0.2.66")).Result.ToString());
    }

    [Theory]
    [InlineData(10, nameof(SpfResult.Fail))]
    [InlineData(11, nameof(SpfResult.PermError))]
    public async Task Ten_servers_of_a_domain_and_no_more(int servers, string result)
    {
        for (var i = 0; i < servers; i++)
        {
            _names.MailServer("many.example.com", "mail-a.example.com");
        }

        _names.Text(Domain, "v=spf1 mx:many.example.com -all");

        Assert.Equal(result, (await CheckAsync("192.0.2.66")).Result.ToString());
    }

    // Section 5, "temperror", and 5.5: a failed lookup of a name is no match.
    [Theory]
    [InlineData("v=spf1 a:broken.example.com -all", nameof(SpfResult.TempError))]
    [InlineData("v=spf1 include:broken.example.com -all", nameof(SpfResult.TempError))]
    [InlineData("v=spf1 ptr -all", nameof(SpfResult.Fail))]
    public async Task A_name_server_that_fails_is_no_verdict(string record, string result)
    {
        _names.Text(Domain, record).Broken("broken.example.com").Broken("66.2.0.192.in-addr.arpa");

        Assert.Equal(result, (await CheckAsync("192.0.2.66")).Result.ToString());
    }

    private static SpfMacro Of(string from, string sender = "strong-bad@email.example.com") =>
        new(IPAddress.Parse(from), sender, "mx.example.org");

    private Task<SpfVerdict> CheckAsync(
        string from,
        string domain = Domain,
        string sender = "lawn@example.com"
    ) =>
        new SpfCheck(NameServer.Of(_names.Address), Of(from, sender)).RunAsync(
            domain,
            TestContext.Current.CancellationToken
        );
}
