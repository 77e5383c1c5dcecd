using System.Diagnostics;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.Extensions.Time.Testing;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>Tests that count what the whole process allocates: nothing else may run beside them.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class AloneInTheProcess
{
    public const string Name = "alone in the process";
}

/// <summary>A mailbox in Dovecot, a server of someone else's, and our reader of it.</summary>
public abstract class ImapRig : IAsyncLifetime
{
    private protected const string User = "lawn";

    private protected static readonly TimeSpan Soon = TimeSpan.FromSeconds(60);

    private protected DovecotServer _server = null!;

    private protected InboxOptions _options = null!;

    private protected static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _server = await DovecotServer.StartAsync(Cancel);
        _options = new()
        {
            Host = "127.0.0.1",
            Port = _server.Port,
            Security = MailSecurity.None,
            Username = User,
            Password = "any",
            Address = "lawn@example.org",
            BounceAddress = "bounces@example.org",
        };
        Assert.Empty(_options.Faults());
    }

    public async ValueTask DisposeAsync()
    {
        await _server.DisposeAsync();
        GC.SuppressFinalize(this);
    }

    private protected static void Encrypted(InboxOptions options, string authority)
    {
        options.Host = "localhost";
        options.Security = MailSecurity.StartTls;
        options.CaFile = authority;
        options.CheckCertificateRevocation = false;
    }

    // Signed by itself, so that it is its own authority.
    private protected static string Certificate(string certificate, string key)
    {
        var now = TimeProvider.System.GetUtcNow();
        using var secret = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=localhost", secret, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName("localhost");
        request.CertificateExtensions.Add(names.Build());
        using var made = request.CreateSelfSigned(now.AddDays(-1), now.AddDays(1));
        File.WriteAllText(certificate, made.ExportCertificatePem());
        File.WriteAllText(key, secret.ExportPkcs8PrivateKeyPem());
        return $"ssl = required\nssl_cert = <{certificate}\nssl_key = <{key}";
    }

    private protected ImapMailbox Open(
        int? port = null,
        Action<InboxOptions>? change = null,
        TimeProvider? clock = null
    )
    {
        var options = new InboxOptions
        {
            Host = _options.Host,
            Port = port ?? _options.Port,
            Security = _options.Security,
            Username = _options.Username,
            Password = _options.Password,
            Address = _options.Address,
            BounceAddress = _options.BounceAddress,
            ConnectTimeout = TimeSpan.FromSeconds(10),
        };
        change?.Invoke(options);
        return new(
            options,
            new SenderOptions { FromAddress = "lawn@example.org" },
            clock ?? TimeProvider.System
        )
        {
            FirstPause = TimeSpan.FromSeconds(1),
        };
    }

    private protected static async Task<
        List<(MailboxPosition Position, InboundMail Mail)>
    > ReadAsync(ImapMailbox mailbox)
    {
        var found = new List<(MailboxPosition, InboundMail)>();
        await foreach (var one in mailbox.NewAsync(Cancel))
        {
            found.Add(one);
        }

        return found;
    }

    // As the service does it: ask, wait, ask again.
    private protected static async Task<
        List<(MailboxPosition Position, InboundMail Mail)>
    > EventuallyAsync(ImapMailbox mailbox)
    {
        for (var attempt = 0; attempt < 10; attempt++)
        {
            await mailbox.WaitAsync(TimeSpan.FromSeconds(15), Cancel);
            try
            {
                if (await ReadAsync(mailbox) is { Count: > 0 } found)
                {
                    return found;
                }
            }
            catch (MailboxException)
            {
                // Not yet.
            }
        }

        throw new InvalidOperationException($"nothing came; {mailbox.Down}");
    }

    private protected static int Said(DirectoryInfo raw, string word) =>
        raw.GetFiles("*.in")
            .SelectMany(f => File.ReadAllText(f.FullName).Split("\n"))
            .Count(l => l.TrimEnd().EndsWith(word, StringComparison.Ordinal));

    private protected static async Task UntilAsync(Func<bool> so)
    {
        for (var attempt = 0; !so(); attempt++)
        {
            Assert.True(attempt < 600, "it never became so");
            await Task.Delay(50, Cancel);
        }
    }

    private protected static string Text(string line) =>
        $"From: pat@example.net\nTo: lawn@example.org\nSubject: x\nContent-Type: text/plain\n\n{line}\n";
}
