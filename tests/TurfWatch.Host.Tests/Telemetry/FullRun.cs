using System.Net;
using System.Net.Sockets;
using System.Text.RegularExpressions;
using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Tests.Jobs;
using TurfWatch.Store;
using TurfWatch.Testing;
using TurfWatch.Weather.Places;
using Xunit;

[assembly: AssemblyFixture(typeof(TurfWatch.Host.Tests.Telemetry.FullRun))]

namespace TurfWatch.Host.Tests.Telemetry;

/// <summary>
/// The real program through a day of everything: weather, mornings, people who join, answer and leave by each door,
/// mail refused for now, for good, and lost. What it told of itself is what the tests look at.
/// </summary>
public sealed partial class FullRun : IAsyncDisposable
{
    public const string RelaySecret = "relay-s3cret";
    public const string InboxSecret = "inbox-s3cret";
    private const string Mailbox = "lawn";

    private static readonly Place Tucson = ZipDirectory.Lookup("85719").Place!;

    private readonly SemaphoreSlim _turn = new(1, 1);
    private readonly int _pages = FreePort();
    private Told? _told;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    /// <summary>Runs it once; skips where Dovecot is missing.</summary>
    internal async Task<Told> ToldAsync()
    {
        await _turn.WaitAsync(Cancel);
        try
        {
            return _told ??= await RunAsync();
        }
        finally
        {
            _turn.Release();
        }
    }

    public ValueTask DisposeAsync()
    {
        _turn.Dispose();
        return ValueTask.CompletedTask;
    }

    private async Task<Told> RunAsync()
    {
        using var folder = new ScratchFolder();
        using var weather = new StubWeather(Tucson, Now());
        await using var dovecot = await DovecotServer.StartAsync(Cancel, password: InboxSecret);
        await using var collector = await Collector.StartAsync();
        await using var smtp = FaultySmtp.Start(
            (SmtpScript.Healthy with { Login = $"keeper {RelaySecret}" })
                .With(
                    SmtpStep.Rcpt,
                    SmtpFault.Say("550 5.1.1 <gone@example.com> is not known here") with
                    {
                        ForRecipient = "gone@",
                    }
                )
                .With(
                    SmtpStep.Data,
                    SmtpFault.Say("451 4.7.1 slow@example.com is greylisted") with
                    {
                        ForRecipient = "slow@",
                    }
                )
                .With(SmtpStep.Dot, SmtpFault.Drop() with { ForRecipient = "lost@" })
        );
        foreach (var name in new[] { "kept", "gone", "slow", "lost" })
        {
            await AddAsync(folder.Path, $"{name}@example.com");
        }

        var metrics = FreePort();
        await using var service = ServeProcess.Start(
            folder.Path,
            [
                .. ServeProcess.Relay(smtp.Port),
                ("Mail:Smtp:Username", "keeper"),
                ("Mail:Smtp:Password", RelaySecret),
                ("Mail:Inbox:Host", "127.0.0.1"),
                ("Mail:Inbox:Port", $"{dovecot.Port}"),
                ("Mail:Inbox:Security", "None"),
                ("Mail:Inbox:Username", Mailbox),
                ("Mail:Inbox:Password", InboxSecret),
                ("Mail:Inbox:Address", "lawn@example.org"),
                ("Weather:Nws:BaseAddress", weather.Url),
                ("Weather:NasaPower:BaseAddress", weather.Url),
                ("Web:Listen", $"http://127.0.0.1:{_pages}"),
                ("Metrics:Listen", $"http://127.0.0.1:{metrics}"),
                ("Telemetry:OtlpEndpoint", collector.Url),
                ("Delivery:Connections", "1"),
                ("Jobs:MorningSpread", "00:00:00"),
                ("Log:Level", "Debug"),
            ]
        );
        var letters = new Letters(service, smtp, dovecot);
        using var http = new HttpClient();

        var morning = await letters.ToAsync("kept@example.com");
        await JoinByPageAsync(http, service);
        var asked = await letters.ToAsync("ann@example.net");
        var welcome = await letters.AnswerAsync(asked, "ann@example.net", "yes");
        await letters.AnswerAsync(welcome, "ann@example.net", "mowed 2 in");
        await letters.AnswerAsync(welcome, "ann@example.net", "STOP");
        dovecot.Deliver(Mailbox, Letters.Robot);
        using (
            await http.PostAsync(
                $"http://127.0.0.1:{_pages}{new Uri(LinkForm().Match(morning.Headers["List-Unsubscribe"]!).Groups[1].Value).AbsolutePath}",
                null,
                Cancel
            )
        ) { }

        await letters.ToAsync("kept@example.com", after: morning);
        string scrape = "";
        await service.UntilAsync(async () =>
        {
            scrape = await http.GetStringAsync($"http://127.0.0.1:{metrics}/metrics", Cancel);
            return scrape.Contains(
                    "turfwatch_inbound_total{otel_scope_name=\"TurfWatch.Service\",result=\"robot\"} 1",
                    StringComparison.Ordinal
                )
                && scrape.Contains("result=\"unknown\"} 1", StringComparison.Ordinal)
                && scrape.Contains("state=\"dead\"} 1", StringComparison.Ordinal);
        });
        using var onPublic = await http.GetAsync($"http://127.0.0.1:{_pages}/metrics", Cancel);
        using var pageOnMetrics = await http.GetAsync($"http://127.0.0.1:{metrics}/join", Cancel);
        await service.StopAsync();
        return new(
            scrape,
            service.Log,
            collector.Received,
            onPublic.StatusCode,
            pageOnMetrics.StatusCode,
            [.. smtp.Taken.Select(t => t.MessageId)]
        );
    }

    private async Task JoinByPageAsync(HttpClient http, ServeProcess service)
    {
        var page = new Uri($"http://127.0.0.1:{_pages}/join");
        var form = await http.GetStringAsync(page, Cancel);
        await service.UntilAsync(async () =>
        {
            using var body = new FormUrlEncodedContent(
                new Dictionary<string, string>
                {
                    ["email"] = "ann@example.net",
                    ["zip"] = "85719",
                    ["grass"] = "bermuda",
                    ["stamp"] = StampForm().Match(form).Groups[1].Value,
                }
            );
            using var answer = await http.PostAsync(page, body, Cancel);
            return answer.StatusCode == HttpStatusCode.OK
                && (await answer.Content.ReadAsStringAsync(Cancel)).Contains(
                    "not on the list yet",
                    StringComparison.Ordinal
                );
        });
    }

    /// <summary>On the list since an hour: the morning of a minute ago is owed.</summary>
    private static async Task AddAsync(string folder, string email)
    {
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder },
            new ShiftedClock(TimeProvider.System, Now() - Duration.FromHours(1)),
            Cancel,
            StoreAccess.Beside
        );
        var due = (Now() - Duration.FromMinutes(1)).InZone(Tucson.Zone).TimeOfDay;
        await store.Subscribers.AddAsync(
            email,
            new Lawn
            {
                Place = Tucson,
                Grass = GrassKind.Bermuda,
                MessageTime = new(due.Hour, due.Minute),
                Alerts = false,
                DigestDay = null,
            },
            Cancel
        );
    }

    private static Instant Now() => Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());

    private static int FreePort()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }

    [GeneratedRegex("name=\"stamp\" value=\"([^\"]+)\"", RegexOptions.None, 1000)]
    private static partial Regex StampForm();

    [GeneratedRegex("<(https://[^>]+)>", RegexOptions.None, 1000)]
    private static partial Regex LinkForm();

    /// <summary>What the program told of itself.</summary>
    /// <param name="Scrape">Its metrics.</param>
    /// <param name="Log">Its log, at the level Debug.</param>
    /// <param name="Otlp">What it sent to the collector, as text.</param>
    /// <param name="MetricsOnPublic">Status of <c>/metrics</c> at the public address.</param>
    /// <param name="PageOnMetrics">Status of a public page at the address of the metrics.</param>
    /// <param name="Taken">Message-IDs that the relay took.</param>
    internal sealed record Told(
        string Scrape,
        string Log,
        string Otlp,
        HttpStatusCode MetricsOnPublic,
        HttpStatusCode PageOnMetrics,
        IReadOnlyList<string> Taken
    );

    /// <summary>The mail that people get and write.</summary>
    private sealed class Letters(ServeProcess service, FaultySmtp smtp, DovecotServer dovecot)
    {
        public const string Robot = """
            From: bob@example.net
            To: lawn@example.org
            Message-ID: <away@example.net>
            Date: Wed, 25 Nov 2026 07:00:00 -0700
            Subject: Out of office
            Auto-Submitted: auto-replied

            I am away.

            """;

        /// <summary>The newest message to an address, once there is one newer than <paramref name="after"/>.</summary>
        public async Task<MimeMessage> ToAsync(string address, MimeMessage? after = null)
        {
            SmtpDelivery? found = null;
            await service.UntilAsync(() =>
            {
                found = smtp.Taken.LastOrDefault(t => t.Recipient == address);
                return Task.FromResult(found is not null && found.MessageId != after?.MessageId);
            });
            using var bytes = new MemoryStream(found!.Content);
            return await MimeMessage.LoadAsync(bytes, Cancel);
        }

        public async Task<MimeMessage> AnswerAsync(MimeMessage letter, string from, string text)
        {
            var newest = smtp.Taken.Last(t => t.Recipient == from).Content;
            using var bytes = new MemoryStream(newest);
            var last = await MimeMessage.LoadAsync(bytes, Cancel);
            var to = letter.ReplyTo.Mailboxes.Single().Address;
            dovecot.Deliver(
                Mailbox,
                $"""
                From: Ann <{from}>
                To: {to}
                Delivered-To: {to}
                Message-ID: <{Guid.NewGuid():N}@example.net>
                Date: Wed, 25 Nov 2026 07:00:00 -0700
                Subject: Re: lawn
                Content-Type: text/plain; charset=utf-8

                {text}

                """
            );
            return await ToAsync(from, last);
        }
    }
}
