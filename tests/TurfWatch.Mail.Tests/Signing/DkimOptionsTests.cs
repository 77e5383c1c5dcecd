using System.Security.Cryptography;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Mail.Tests.Signing;

public sealed class DkimOptionsTests
{
    [Fact]
    public void Left_out_it_is_without_fault_and_signs_nothing()
    {
        Assert.False(new DkimOptions().Configured);
        Assert.Empty(new DkimOptions().Faults());
        Assert.Empty(new DkimOptions().Faults(Samples.Sender));
        Assert.Empty(TestKey.Options.Faults());
        Assert.Empty(TestKey.Options.Faults(Samples.Sender));
    }

    [Fact]
    public void Half_of_it_is_a_fault_that_names_what_is_missing()
    {
        var faults = new DkimOptions { Domain = "example.org" }
            .Faults()
            .ToList();
        Assert.Contains(faults, f => f.StartsWith("Mail:Dkim:Selector is ''", Exact));
        Assert.Contains(
            faults,
            f => f.StartsWith("Mail:Dkim:PrivateKeyFile is empty; make a key with 'openssl", Exact)
        );
    }

    [Theory]
    [InlineData("https://example.org", "s")]
    [InlineData("localhost", "s")]
    [InlineData("example.org", "a b")]
    [InlineData("example.org", "s;d=example.com")]
    public void Names_that_cannot_stand_in_the_DNS_are_faults(string domain, string selector)
    {
        var options = new DkimOptions
        {
            Domain = domain,
            Selector = selector,
            PrivateKeyFile = TestKey.Options.PrivateKeyFile,
        };
        Assert.Single(options.Faults());
    }

    [Theory]
    [InlineData("lawn@watch.example.org", "watch.example.org", true)]
    [InlineData("lawn@watch.example.org", "Example.ORG", true)] // relaxed alignment, RFC 7489 3.1.1
    [InlineData("lawn@example.org", "watch.example.org", false)]
    [InlineData("lawn@notexample.org", "example.org", false)]
    public void The_signature_must_be_of_the_senders_domain(
        string from,
        string domain,
        bool aligned
    )
    {
        var faults = new DkimOptions { Domain = domain }.Faults(
            new SenderOptions { FromAddress = from }
        );
        Assert.Equal(aligned, !faults.Any());
    }

    [Fact]
    public void A_file_that_holds_no_good_key_is_a_fault_that_says_what_it_holds()
    {
        using var rsa = RSA.Create(2048);
        using var small = RSA.Create(1024);
        using var curve = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var locked = rsa.ExportEncryptedPkcs8PrivateKeyPem(
            "secret",
            new PbeParameters(PbeEncryptionAlgorithm.Aes128Cbc, HashAlgorithmName.SHA256, 1)
        );
        Assert.Contains("of 1024 bits", FaultOf(small.ExportRSAPrivateKeyPem()), Exact);
        Assert.Contains("no private RSA key", FaultOf(curve.ExportPkcs8PrivateKeyPem()), Exact);
        Assert.Contains("no private RSA key", FaultOf(rsa.ExportSubjectPublicKeyInfoPem()), Exact);
        Assert.Contains("no private RSA key", FaultOf(locked), Exact);
        Assert.Contains("no private RSA key", FaultOf("hello"), Exact);
        Assert.Contains("does not exist", DkimKey.FaultOf("/no/such/file"), Exact);
        Assert.Null(DkimKey.FaultOf(TestKey.Write(rsa.ExportRSAPrivateKeyPem())));
    }

    [Fact]
    public void The_record_holds_the_public_half_and_fits_into_strings_of_255()
    {
        using var rsa = RSA.Create(4096);
        var key = DkimKey.Load(TestKey.Write(rsa.ExportPkcs8PrivateKeyPem()));
        Assert.Equal(
            $"v=DKIM1; k=rsa; p={Convert.ToBase64String(rsa.ExportSubjectPublicKeyInfo())}",
            key.RecordValue
        );
        var line = key.ZoneLine(TestKey.Options);
        Assert.StartsWith(
            "lawn2026._domainkey.watch.example.org. IN TXT ( \"v=DKIM1;",
            line,
            Exact
        );
        var strings = line.Split('"').Where((_, i) => i % 2 == 1).ToList();
        Assert.All(strings, s => Assert.InRange(s.Length, 1, 255));
        Assert.Equal(key.RecordValue, string.Concat(strings));
    }

    private const StringComparison Exact = StringComparison.Ordinal;

    private static string? FaultOf(string pem) => DkimKey.FaultOf(TestKey.Write(pem));
}
