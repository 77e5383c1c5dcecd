using System.Net;
using System.Net.Sockets;
using System.Text;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Tests.Commands;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Security;

/// <summary>
/// Secrets that can be recognised, through everything that writes: a start with the most talkative log, logins that are
/// refused by servers that repeat what they heard, checks, faults of the configuration. None of it shows again.
/// </summary>
public sealed class SecretsTests : IDisposable
{
    private const string Smtp = "s3cretOfTheRelay4711";
    private const string Imap = "s3cretOfTheMailbox4712";
    private const string ApiKey = "s3cretKeyOfTheWeather4713";

    private readonly Scratch _scratch = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task A_service_that_may_not_log_in_anywhere_tells_no_password()
    {
        using var relay = new Parrot("220 relay ESMTP\r\n", Relay);
        using var mailbox = new Parrot("* OK ready\r\n", Mailbox);
        using var folder = new ScratchFolder();
        await OneMessageAsync(folder.Path);
        await using var service = ServeProcess.Start(
            folder.Path,
            [
                .. ServeProcess.Relay(relay.Port),
                .. Logins(relay.Port, mailbox.Port),
                ("Log:Level", "Trace"),
                ("Weather:OpenMeteo:Enabled", "true"),
                ("Weather:OpenMeteo:BaseAddress", "http://127.0.0.1:9/"),
                ("Weather:OpenMeteo:ApiKey", ApiKey),
            ]
        );

        var (_, ready) = await service.UntilReadySaysAsync(t =>
            t.Contains("mail (since", StringComparison.Ordinal)
            && t.Contains("inbox (since", StringComparison.Ordinal)
        );
        await service.StopAsync();

        // Both were truly tried, and refused.
        Assert.Contains("refused the login", service.Log, StringComparison.Ordinal);
        Assert.DoesNotContain("127.0.0.1", ready, StringComparison.Ordinal);
        Assert.True(relay.Heard > 0 && mailbox.Heard > 0);
        HoldsNone(folder.Path, ready, service.Log);
        Assert.DoesNotContain(
            Directory
                .EnumerateFiles(folder.Path, "*", SearchOption.AllDirectories)
                .Where(f => Path.GetFileName(f) != LinkTokens.FileName),
            f => Secrets(folder.Path).Any(s => Contains(f, s))
        );
    }

    [Theory]
    [InlineData("check", "--dns", "127.0.0.1:9")]
    [InlineData("check", "--json", "--dns", "127.0.0.1:9")]
    [InlineData("send-test", "--to", "pat@example.com")]
    public async Task A_command_whose_login_is_refused_tells_no_password(params string[] command)
    {
        using var relay = new Parrot("220 relay ESMTP\r\n", Relay);
        using var mailbox = new Parrot("* OK ready\r\n", Mailbox);
        var config = _scratch.Write(
            "turfwatch.json",
            $$"""
            {
              "Weather": { "Contact": "ops@example.org", "CacheDirectory": "{{_scratch.Folder}}/cache",
                "Nws": { "Enabled": false }, "NasaPower": { "Enabled": false },
                "OpenMeteo": { "Enabled": true, "BaseAddress": "http://127.0.0.1:9/", "ApiKey": "{{ApiKey}}" } },
              "Store": { "DataDirectory": "{{_scratch.Folder}}/data" },
              "Mail": {
                "Smtp": { "Host": "127.0.0.1", "Port": {{relay.Port}}, "Security": "None", "Username": "lawn", "Password": "{{Smtp}}" },
                "Inbox": { "Host": "127.0.0.1", "Port": {{mailbox.Port}}, "Security": "None", "Username": "lawn", "Password": "{{Imap}}", "Address": "lawn@example.org" },
                "Sender": { "FromAddress": "lawn@example.org", "PostalAddress": "1 Test Street", "PublicBaseUrl": "https://lawn.example.org" }
              }
            }
            """
        );

        var answer = await Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            [.. command, "--config", config]
        );

        Assert.True(relay.Heard > 0, answer.Out + answer.Error);
        HoldsNone(Path.Combine(_scratch.Folder, "data"), answer.Out, answer.Error);
    }

    [Fact]
    public void Faults_of_the_configuration_name_keys_and_no_secret()
    {
        var config = _scratch.Write(
            "turfwatch.json",
            $$"""
            {
              "Weather": { "OpenMeteo": { "Enabled": true, "ApiKey": "{{ApiKey}}!" } },
              "Store": { "Postgres": "Host=db;Database=t;Pasword={{Smtp}}", "PostgresPasswordFile": "/nowhere" },
              "Mail": {
                "Smtp": { "Host": "https://x", "Username": "lawn", "Password": "{{Smtp}}", "PasswordFile": "/nowhere", "Pasword": "{{Smtp}}" },
                "Inbox": { "Host": "imap.example.org", "Password": "{{Imap}}", "PasswordFile": "/nowhere" }
              }
            }
            """
        );
        var faults = Assert.Throws<SettingsException>(() =>
            SettingsLoader.Load(config, _scratch.Folder)
        );
        Assert.True(faults.Faults.Count > 8, faults.Message);
        HoldsNone(_scratch.Folder, faults.ToString());
    }

    [Theory]
    [InlineData("Host=db;Database=t;Password=s3cretOfTheRelay4711")]
    [InlineData("Host=db;Database=t;Passwort=s3cretOfTheRelay4711")]
    [InlineData("Host=db;Port=s3cretOfTheRelay4711")]
    public void A_connection_string_with_a_password_is_refused_without_showing_it(string connection)
    {
        var options = new StoreOptions { Postgres = connection };
        Assert.NotEmpty(options.Faults());
        HoldsNone(_scratch.Folder, string.Join('\n', options.Faults()));
    }

    private static (string, string)[] Logins(int relay, int mailbox) =>
        [
            ("Mail:Smtp:Port", $"{relay}"),
            ("Mail:Smtp:Username", "lawn"),
            ("Mail:Smtp:Password", Smtp),
            ("Mail:Inbox:Host", "127.0.0.1"),
            ("Mail:Inbox:Port", $"{mailbox}"),
            ("Mail:Inbox:Security", "None"),
            ("Mail:Inbox:Username", "lawn"),
            ("Mail:Inbox:Password", Imap),
            ("Mail:Inbox:Address", "lawn@example.org"),
        ];

    // Whatever it heard it says again, as servers do that want to be helpful.
    private static string Relay(string heard) =>
        heard.StartsWith("EHLO", StringComparison.Ordinal) ? "250-relay\r\n250 AUTH PLAIN LOGIN\r\n"
        : heard.StartsWith("AUTH", StringComparison.Ordinal)
            ? $"535 5.7.8 cannot log in with {heard}\r\n"
        : "250 ok\r\n";

    private static string Mailbox(string heard)
    {
        var tag = heard.Split(' ')[0];
        return heard.Contains("CAPABILITY", StringComparison.Ordinal)
                ? $"* CAPABILITY IMAP4rev1 AUTH=PLAIN SASL-IR\r\n{tag} OK done\r\n"
            : heard.Contains("AUTHENTICATE", StringComparison.Ordinal)
            || heard.Contains("LOGIN", StringComparison.Ordinal)
                ? $"{tag} NO cannot log in with {heard}\r\n"
            : $"{tag} OK done\r\n";
    }

    private static async Task OneMessageAsync(string folder)
    {
        var clock = TimeProvider.System;
        await using var store = await TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = folder },
            clock,
            Cancel
        );
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
        var who = await store.Subscribers.AddAsync(
            "pat@example.com",
            new Lawn
            {
                Place = new("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix"),
                Grass = GrassKind.Bermuda,
            },
            Cancel
        );
        await store.Outbox.EnqueueAsync(
            [
                new()
                {
                    SubscriberId = who!.Subscriber.Id,
                    Kind = MessageKind.Test,
                    Key = "k",
                    Recipient = "pat@example.com",
                    EnvelopeSender = "lawn@example.org",
                    MessageId = "k@example.org",
                    NotBefore = now - Duration.FromMinutes(1),
                    NotAfter = now + Duration.FromHours(1),
                    Content =
                        "From: lawn@example.org\r\nTo: pat@example.com\r\n\r\nHello\r\n"u8.ToArray(),
                },
            ],
            Cancel
        );
    }

    private static void HoldsNone(string dataFolder, params string[] texts)
    {
        foreach (var secret in Secrets(dataFolder))
        {
            Assert.All(
                texts,
                t => Assert.DoesNotContain(secret, t, StringComparison.OrdinalIgnoreCase)
            );
        }
    }

    // As they are, as a login carries them, and the key of the links.
    private static IEnumerable<string> Secrets(string dataFolder)
    {
        foreach (var secret in new[] { Smtp, Imap, ApiKey })
        {
            yield return secret;
            yield return Convert.ToBase64String(Encoding.UTF8.GetBytes(secret))[..^4];
            yield return Convert.ToBase64String(Encoding.UTF8.GetBytes($"\0lawn\0{secret}"))[..^4];
        }

        var keys = Path.Combine(dataFolder, LinkTokens.FileName);
        if (File.Exists(keys))
        {
            yield return File.ReadAllText(keys).Split(' ', '\n')[1];
        }
    }

    private static bool Contains(string file, string secret) =>
        Encoding
            .Latin1.GetString(File.ReadAllBytes(file))
            .Contains(secret, StringComparison.Ordinal);

    /// <summary>A server of lines that answers each with what a function makes of it.</summary>
    private sealed class Parrot : IDisposable
    {
        private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
        private readonly CancellationTokenSource _stop = new();
        private int _heard;

        public Parrot(string greeting, Func<string, string> answer)
        {
            _listener.Start();
            _ = AcceptAsync(greeting, answer);
        }

        public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

        /// <summary>Logins so far.</summary>
        public int Heard => Volatile.Read(ref _heard);

        public void Dispose()
        {
            _stop.Cancel();
            _listener.Dispose();
            _stop.Dispose();
        }

        private async Task AcceptAsync(string greeting, Func<string, string> answer)
        {
            try
            {
                while (!_stop.IsCancellationRequested)
                {
                    _ = TalkAsync(
                        await _listener.AcceptTcpClientAsync(_stop.Token),
                        greeting,
                        answer
                    );
                }
            }
            catch (Exception e)
                when (e is OperationCanceledException or SocketException or ObjectDisposedException)
            {
                // The test is over.
            }
        }

        private async Task TalkAsync(TcpClient client, string greeting, Func<string, string> answer)
        {
            using (client)
            {
                try
                {
                    await using var stream = client.GetStream();
                    using var reader = new StreamReader(stream, Encoding.Latin1);
                    await stream.WriteAsync(Encoding.Latin1.GetBytes(greeting), _stop.Token);
                    while (await reader.ReadLineAsync(_stop.Token) is { } line)
                    {
                        if (
                            line.Contains("AUTH", StringComparison.Ordinal)
                            || line.Contains("LOGIN", StringComparison.Ordinal)
                        )
                        {
                            Interlocked.Increment(ref _heard);
                        }

                        await stream.WriteAsync(
                            Encoding.Latin1.GetBytes(answer(line)),
                            _stop.Token
                        );
                    }
                }
                catch (Exception e)
                    when (e is IOException or OperationCanceledException or ObjectDisposedException)
                {
                    // The other side hung up.
                }
            }
        }
    }
}
