using System.Diagnostics;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.Extensions.Time.Testing;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>The way into the mailbox, and what is told when there is none.</summary>
[Collection(AloneInTheProcess.Name)]
public sealed class ImapLoginTests : ImapRig
{
    [Fact]
    public async Task Each_way_to_be_misconfigured_is_told()
    {
        await using (var mailbox = Open(change: o => o.Folder = "No such"))
        {
            Assert.Contains(
                "Mail:Inbox:Folder",
                await mailbox.CheckAsync(Cancel),
                StringComparison.Ordinal
            );
        }

        await using (var mailbox = Open(1))
        {
            Assert.Contains(
                "cannot be reached",
                await mailbox.CheckAsync(Cancel),
                StringComparison.Ordinal
            );
        }

        await using (var mailbox = Open(change: o => o.Security = MailSecurity.StartTls))
        {
            Assert.Contains(
                "does not offer STARTTLS",
                await mailbox.CheckAsync(Cancel),
                StringComparison.Ordinal
            );
        }

        await using (var mailbox = Open(change: o => o.Security = MailSecurity.Tls))
        {
            Assert.NotNull(await mailbox.CheckAsync(Cancel));
        }

        await using var good = Open();
        Assert.Null(await good.CheckAsync(Cancel));
        await using var strict = await DovecotServer.StartAsync(Cancel, password: "secret");
        await using var refused = Open(strict.Port);
        Assert.Contains(
            "refused the login of 'lawn'",
            await refused.CheckAsync(Cancel),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_login_goes_over_an_encrypted_connection_to_a_server_that_can_be_trusted()
    {
        var folder = Directory.CreateTempSubdirectory("imap-tls-");
        try
        {
            var authority = Path.Combine(folder.FullName, "cert.pem");
            var settings = Certificate(authority, Path.Combine(folder.FullName, "key.pem"));
            await using var server = await DovecotServer.StartAsync(Cancel, settings);
            await using var trusting = Open(server.Port, o => Encrypted(o, authority));
            server.Deliver(User, Text("mowed"));
            Assert.Equal(["mowed"], Assert.Single(await ReadAsync(trusting)).Mail.Lines);
            Assert.Matches("Login: user=<lawn>.* TLS", server.Log);
            await using var wary = Open(server.Port, o => Encrypted(o, ""));
            Assert.Contains("CaFile", await wary.CheckAsync(Cancel), StringComparison.Ordinal);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
