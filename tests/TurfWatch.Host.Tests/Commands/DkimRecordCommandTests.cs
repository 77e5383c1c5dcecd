using System.Security.Cryptography;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class DkimRecordCommandTests : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task It_prints_the_record_of_the_configured_key_and_nothing_of_the_private_half()
    {
        using var rsa = RSA.Create(2048);
        var answer = await RunAsync(
            Signing(_scratch.Write("dkim.pem", rsa.ExportPkcs8PrivateKeyPem()), "example.org")
        );

        Assert.Equal(0, answer.Exit);
        Assert.Contains("lawn2026._domainkey.example.org", answer.Out, StringComparison.Ordinal);
        Assert.Contains(
            "v=DKIM1; k=rsa; p=" + Convert.ToBase64String(rsa.ExportSubjectPublicKeyInfo()),
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(
            Convert.ToBase64String(rsa.ExportParameters(true).D!)[..16],
            answer.Out,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Without_a_key_it_says_how_to_make_one()
    {
        var answer = await RunAsync("");

        Assert.Equal(2, answer.Exit);
        Assert.Contains("openssl genrsa", answer.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_domain_that_is_not_the_senders_is_refused()
    {
        using var rsa = RSA.Create(2048);
        var answer = await RunAsync(
            Signing(_scratch.Write("dkim.pem", rsa.ExportPkcs8PrivateKeyPem()), "example.com")
        );

        Assert.Equal(2, answer.Exit);
        Assert.Contains(
            "Mail:Dkim:Domain is 'example.com', but messages are from lawn@example.org",
            answer.Error,
            StringComparison.Ordinal
        );
    }

    private static string Signing(string key, string domain) =>
        $$"""
            "Mail": {
              "Sender": { "FromAddress": "lawn@example.org" },
              "Dkim": { "Domain": "{{domain}}", "Selector": "lawn2026", "PrivateKeyFile": "{{key}}" }
            }
            """;

    private Task<CliAnswer> RunAsync(string mail) =>
        Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            "dkim-record",
            "--config",
            Cli.Config(_scratch, mail)
        );
}
