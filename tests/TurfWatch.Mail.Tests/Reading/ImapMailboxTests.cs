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

/// <summary>The mailbox against Dovecot, a server of someone else's.</summary>
[Collection(AloneInTheProcess.Name)]
public sealed class ImapMailboxTests : IAsyncLifetime
{
    private const string User = "lawn";
    private static readonly TimeSpan Soon = TimeSpan.FromSeconds(60);

    private DovecotServer _server = null!;
    private InboxOptions _options = null!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

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

    public ValueTask DisposeAsync() => _server.DisposeAsync();

    [Fact]
    public async Task The_whole_corpus_is_read_once_and_moved_and_nothing_is_lost()
    {
        foreach (var name in InboundCorpus.Files)
        {
            // An empty file is no message to Dovecot.
            var bytes = InboundCorpus.Bytes(name);
            _server.Deliver(User, bytes.Length > 0 ? bytes : "\n"u8.ToArray());
        }

        await using var mailbox = Open();
        var positions = new HashSet<MailboxPosition>();
        var kinds = new List<string>();
        await foreach (var (position, mail) in mailbox.NewAsync(Cancel))
        {
            Assert.True(positions.Add(position));
            kinds.Add($"{mail.Kind} {mail.From}");
            await mailbox.SettleAsync(position, mail.Kind != InboundKind.Malformed, Cancel);
        }

        Assert.Equal(
            InboundCorpus
                .Files.Select(f => InboundCorpus.Read(InboundCorpus.Bytes(f)))
                .Select(m => $"{m.Kind} {m.From}")
                .Order(StringComparer.Ordinal),
            kinds.Order(StringComparer.Ordinal)
        );
        Assert.Empty(await ReadAsync(mailbox));
        Assert.Empty(_server.Messages(User));
        var malformed = kinds.Count(k => k.StartsWith("Malformed", StringComparison.Ordinal));
        Assert.Equal(malformed, _server.Messages(User, "TurfWatch-NotUnderstood").Count);
        Assert.Equal(kinds.Count - malformed, _server.Messages(User, "TurfWatch-Done").Count);
    }

    [Fact]
    public async Task What_is_not_settled_is_handed_out_again_under_the_same_number()
    {
        _server.Deliver(User, Text("mowed"));
        await using (var mailbox = Open())
        {
            var first = Assert.Single(await ReadAsync(mailbox));
            Assert.Equal(first.Position, Assert.Single(await ReadAsync(mailbox)).Position);
            Assert.Equal(["mowed"], first.Mail.Lines);
        }

        await using var again = Open();
        Assert.Equal(["mowed"], Assert.Single(await ReadAsync(again)).Mail.Lines);
    }

    [Fact]
    public async Task New_mail_ends_the_wait_at_once()
    {
        await using var mailbox = Open();
        Assert.Empty(await ReadAsync(mailbox));
        var watch = Stopwatch.StartNew();
        var wait = mailbox.WaitAsync(Soon, Cancel);
        await Task.Delay(300, Cancel);
        Assert.False(wait.IsCompleted);
        _server.Deliver(User, Text("mowed"));
        Assert.True(await wait);
        Assert.True(watch.Elapsed < Soon / 2, $"{watch.Elapsed}");
        Assert.Equal(["mowed"], Assert.Single(await ReadAsync(mailbox)).Mail.Lines);
    }

    [Fact]
    public async Task Mail_that_came_while_nobody_waited_ends_the_next_wait()
    {
        await using var mailbox = Open();
        Assert.Empty(await ReadAsync(mailbox));
        _server.Deliver(User, Text("mowed"));
        Assert.True(await mailbox.WaitAsync(Soon, Cancel));
    }

    [Fact]
    public async Task A_wait_without_news_ends_in_time()
    {
        await using var mailbox = Open();
        Assert.Empty(await ReadAsync(mailbox));
        var watch = Stopwatch.StartNew();
        Assert.False(await mailbox.WaitAsync(TimeSpan.FromSeconds(1), Cancel));
        Assert.InRange(watch.Elapsed.TotalSeconds, 0.9, 30);
        Assert.Null(mailbox.Down);
    }

    [Fact]
    public async Task Idle_is_given_anew_before_nine_minutes_are_over()
    {
        var raw = Directory.CreateTempSubdirectory("imap-raw-");
        File.SetUnixFileMode(raw.FullName, (UnixFileMode)0b111_111_111);
        try
        {
            // Dovecot writes down what clients say, when this folder exists.
            await using var server = await DovecotServer.StartAsync(
                Cancel,
                $"rawlog_dir = {raw.FullName}"
            );
            var clock = new FakeTimeProvider(DateTimeOffset.UnixEpoch.AddYears(56));
            await using var mailbox = Open(server.Port, clock: clock);
            Assert.Empty(await ReadAsync(mailbox));
            var wait = mailbox.WaitAsync(TimeSpan.FromMinutes(30), Cancel);
            for (var round = 1; round <= 4; round++)
            {
                await UntilAsync(() =>
                    Said(raw, " IDLE") == round && Said(raw, "DONE") == round - 1
                );
                Assert.False(wait.IsCompleted);
                clock.Advance(TimeSpan.FromMinutes(9));
            }

            Assert.False(await wait);
            Assert.Equal(4, Said(raw, "DONE"));
        }
        finally
        {
            raw.Delete(recursive: true);
        }
    }

    [Fact]
    public async Task A_server_without_idle_is_asked()
    {
        await using var server = await DovecotServer.StartAsync(
            Cancel,
            "imap_capability = IMAP4rev1 UIDPLUS NAMESPACE"
        );
        await using var mailbox = Open(server.Port, o => o.PollEvery = TimeSpan.FromSeconds(1));
        Assert.Empty(await ReadAsync(mailbox));
        var wait = mailbox.WaitAsync(Soon, Cancel);
        server.Deliver(User, Text("mowed"));
        Assert.True(await wait);
        // Nor can this one move: it copies, marks and expunges that one message.
        var found = Assert.Single(await ReadAsync(mailbox));
        await mailbox.SettleAsync(found.Position, understood: true, Cancel);
        Assert.Empty(server.Messages(User));
        Assert.Single(server.Messages(User, "TurfWatch-Done"));
    }

    [Fact]
    public async Task A_restart_of_the_server_is_got_over_and_mail_of_the_meantime_is_read()
    {
        await using var mailbox = Open();
        Assert.Empty(await ReadAsync(mailbox));
        var wait = mailbox.WaitAsync(Soon, Cancel);
        await Task.Delay(300, Cancel);
        await _server.StopAsync();
        Assert.False(await wait);
        Assert.NotNull(mailbox.Down);
        // Left alone at first: no knocking, no throwing.
        Assert.Empty(await ReadAsync(mailbox));
        _server.Deliver(User, Text("mowed"));
        await mailbox.WaitAsync(TimeSpan.FromSeconds(20), Cancel);
        var error = await Assert.ThrowsAsync<MailboxException>(() => ReadAsync(mailbox));
        Assert.Contains("cannot be reached", error.Message, StringComparison.Ordinal);
        Assert.Equal(error.Message, mailbox.Down);

        await _server.StartAgainAsync(Cancel);
        var found = await EventuallyAsync(mailbox);
        Assert.Equal(["mowed"], Assert.Single(found).Mail.Lines);
        Assert.Null(mailbox.Down);
    }

    [Fact]
    public async Task Mail_numbered_anew_is_handed_out_anew_and_old_numbers_move_nothing()
    {
        _server.Deliver(User, Text("mowed one"));
        _server.Deliver(User, Text("mowed two"));
        await using var mailbox = Open();
        var before = await ReadAsync(mailbox);
        Assert.Equal(2, before.Count);
        await _server.StopAsync();
        _server.ForgetNumbers(User);
        await Task.Delay(1100, Cancel); // Dovecot numbers by the second.
        await _server.StartAgainAsync(Cancel);
        await Assert.ThrowsAsync<MailboxException>(() =>
            mailbox.SettleAsync(before[0].Position, understood: true, Cancel)
        );
        var after = await EventuallyAsync(mailbox);
        Assert.Equal(2, after.Count);
        Assert.All(after, f => Assert.NotEqual(before[0].Position.Validity, f.Position.Validity));
        await mailbox.SettleAsync(before[0].Position, understood: true, Cancel);
        await mailbox.SettleAsync(before[1].Position, understood: true, Cancel);
        Assert.Equal(2, _server.Messages(User).Count);
        await mailbox.SettleAsync(after[1].Position, understood: false, Cancel);
        Assert.Contains(
            "mowed one",
            Assert.Single(_server.Messages(User)),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "mowed two",
            Assert.Single(_server.Messages(User, "TurfWatch-NotUnderstood")),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Of_a_huge_message_only_the_first_part_is_fetched()
    {
        var picture = string.Concat(Enumerable.Repeat(new string('A', 76) + "\n", 300_000));
        _server.Deliver(
            User,
            Text("mowed, see picture")
                .Replace(
                    "Content-Type: text/plain\n",
                    "Content-Type: multipart/mixed; boundary=m\n",
                    StringComparison.Ordinal
                )
                .Replace(
                    "\n\nmowed",
                    "\n\n--m\nContent-Type: text/plain\n\nmowed",
                    StringComparison.Ordinal
                )
                + "--m\nContent-Type: image/jpeg\nContent-Transfer-Encoding: base64\n\n"
                + picture
                + "--m--\n"
        );
        await using var mailbox = Open();
        var before = GC.GetTotalAllocatedBytes(precise: true);
        var found = Assert.Single(await ReadAsync(mailbox));
        var used = GC.GetTotalAllocatedBytes(precise: true) - before;
        Assert.Equal(["mowed, see picture"], found.Mail.Lines);
        Assert.True(used < 10_000_000, $"{used} bytes for a message of 23 MB");
        await mailbox.SettleAsync(found.Position, understood: true, Cancel);
        // It was moved whole.
        Assert.Contains(
            "--m--",
            Assert.Single(_server.Messages(User, "TurfWatch-Done")),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_message_that_someone_takes_away_stops_nothing()
    {
        _server.Deliver(User, Text("one"));
        _server.Deliver(User, Text("two"));
        _server.Deliver(User, Text("three"));
        await using var mailbox = Open();
        var lines = new List<string>();
        await foreach (var (position, mail) in mailbox.NewAsync(Cancel))
        {
            lines.AddRange(mail.Lines);
            if (lines.Count == 1)
            {
                foreach (var file in Directory.GetFiles(Path.Combine(_server.MailOf(User), "cur")))
                {
                    if (File.ReadAllText(file).Contains("\ntwo", StringComparison.Ordinal))
                    {
                        File.Delete(file);
                    }
                }
            }

            await mailbox.SettleAsync(position, understood: true, Cancel);
        }

        Assert.Equal(["one", "three"], lines);
        Assert.Empty(await ReadAsync(mailbox));
    }

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

    private static void Encrypted(InboxOptions options, string authority)
    {
        options.Host = "localhost";
        options.Security = MailSecurity.StartTls;
        options.CaFile = authority;
        options.CheckCertificateRevocation = false;
    }

    // Signed by itself, so that it is its own authority.
    private static string Certificate(string certificate, string key)
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

    private ImapMailbox Open(
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

    private static async Task<List<(MailboxPosition Position, InboundMail Mail)>> ReadAsync(
        ImapMailbox mailbox
    )
    {
        var found = new List<(MailboxPosition, InboundMail)>();
        await foreach (var one in mailbox.NewAsync(Cancel))
        {
            found.Add(one);
        }

        return found;
    }

    // As the service does it: ask, wait, ask again.
    private static async Task<List<(MailboxPosition Position, InboundMail Mail)>> EventuallyAsync(
        ImapMailbox mailbox
    )
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

    private static int Said(DirectoryInfo raw, string word) =>
        raw.GetFiles("*.in")
            .SelectMany(f => File.ReadAllText(f.FullName).Split("\n"))
            .Count(l => l.TrimEnd().EndsWith(word, StringComparison.Ordinal));

    private static async Task UntilAsync(Func<bool> so)
    {
        for (var attempt = 0; !so(); attempt++)
        {
            Assert.True(attempt < 600, "it never became so");
            await Task.Delay(50, Cancel);
        }
    }

    private static string Text(string line) =>
        $"From: pat@example.net\nTo: lawn@example.org\nSubject: x\nContent-Type: text/plain\n\n{line}\n";
}
