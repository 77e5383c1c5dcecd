using System.Security.Cryptography.X509Certificates;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests;

/// <summary>Encryption: nothing is told to a relay that cannot be trusted, a login least of all (RFC 3207, RFC 8314).</summary>
public sealed class SmtpTlsTests : IDisposable
{
    private readonly string _caFile = Path.GetTempFileName();

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_relay_with_a_certificate_of_the_private_authority_gets_login_and_message()
    {
        using var certificate = Issue("localhost", TimeSpan.FromDays(1));
        await using var server = Start(certificate);
        await using var transport = Transport(server);
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(SmtpRows.Row(), Ct));
        Assert.Contains(server.Commands, c => c.StartsWith("1 tls AUTH", StringComparison.Ordinal));
        NothingInTheClear(server);
    }

    [Fact]
    public async Task Without_STARTTLS_nothing_is_sent_not_even_the_login()
    {
        Issue("localhost", TimeSpan.FromDays(1)).Dispose(); // writes the authority's file
        await using var server = Start(null);
        await using var transport = Transport(server);
        var down = Assert.IsType<SendOutcome.RelayDown>(
            await transport.SendAsync(SmtpRows.Row(), Ct)
        );
        Assert.Contains("does not offer STARTTLS", down.Reason, StringComparison.Ordinal);
        NothingInTheClear(server);
    }

    [Theory]
    [InlineData("localhost", -1)]
    [InlineData("relay.example.org", 1)]
    public async Task An_expired_certificate_or_one_of_another_name_is_refused(
        string name,
        int days
    )
    {
        using var certificate = Issue(name, TimeSpan.FromDays(days));
        await using var server = Start(certificate);
        await using var transport = Transport(server);
        var down = Assert.IsType<SendOutcome.RelayDown>(
            await transport.SendAsync(SmtpRows.Row(), Ct)
        );
        Assert.Contains("certificate", down.Reason, StringComparison.Ordinal);
        NothingInTheClear(server);
    }

    [Fact]
    public async Task A_certificate_of_an_authority_that_nobody_knows_is_refused()
    {
        using var certificate = Issue("localhost", TimeSpan.FromDays(1));
        await using var server = Start(certificate);
        await using var transport = Transport(server, caFile: "");
        var down = Assert.IsType<SendOutcome.RelayDown>(
            await transport.SendAsync(SmtpRows.Row(), Ct)
        );
        Assert.Contains("CaFile", down.Reason, StringComparison.Ordinal);
        NothingInTheClear(server);
    }

    [Fact]
    public async Task Garbage_instead_of_a_handshake_is_refused()
    {
        using var certificate = Issue("localhost", TimeSpan.FromDays(1));
        await using var server = FaultySmtp.Start(
            (SmtpScript.Healthy with { Certificate = certificate, Login = "keeper secret" }).With(
                SmtpStep.StartTls,
                SmtpFault.Say("220 2.0.0 Go ahead\r\nthis is no handshake at all", close: true)
            )
        );
        await using var transport = Transport(server);
        Assert.IsType<SendOutcome.RelayDown>(await transport.SendAsync(SmtpRows.Row(), Ct));
        NothingInTheClear(server);
    }

    [Fact]
    public async Task An_authority_file_without_a_certificate_is_named()
    {
        await using var server = Start(null);
        await using var transport = Transport(server);
        var down = Assert.IsType<SendOutcome.RelayDown>(
            await transport.SendAsync(SmtpRows.Row(), Ct)
        );
        Assert.StartsWith("Mail:Smtp:CaFile is", down.Reason, StringComparison.Ordinal);
    }

    public void Dispose() => File.Delete(_caFile);

    private static void NothingInTheClear(FaultySmtp server) =>
        Assert.DoesNotContain(
            server.Commands,
            c =>
                c.Contains(" clear AUTH", StringComparison.Ordinal)
                || c.Contains(" clear MAIL", StringComparison.Ordinal)
        );

    private static FaultySmtp Start(X509Certificate2? certificate) =>
        FaultySmtp.Start(
            SmtpScript.Healthy with
            {
                Certificate = certificate,
                Login = "keeper secret",
            }
        );

    private SmtpTransport Transport(FaultySmtp server, string? caFile = null) =>
        new(
            new SmtpOptions
            {
                Host = "localhost",
                Port = server.Port,
                Username = "keeper",
                Password = "secret",
                CaFile = caFile ?? _caFile,
                CheckCertificateRevocation = false,
                ConnectTimeout = TimeSpan.FromSeconds(20),
            },
            TimeProvider.System
        );

    private X509Certificate2 Issue(string name, TimeSpan validFor)
    {
        using var authority = new TestAuthority();
        File.WriteAllText(_caFile, authority.Pem);
        return authority.Issue(name, validFor);
    }
}
