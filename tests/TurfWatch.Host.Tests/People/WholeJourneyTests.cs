using System.Collections.Immutable;
using System.Globalization;
using System.Net;
using System.Text.RegularExpressions;
using MimeKit;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Tests.Jobs;
using TurfWatch.Store;
using TurfWatch.Testing;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.People;

/// <summary>
/// A person's whole way through four mornings, against real servers: the program itself, Postfix's sink for what it
/// sends, Dovecot for what the person writes, and a weather service on this machine. Each run of the program is set to
/// another hour, as <c>serve --at</c> sets it.
/// </summary>
public sealed partial class WholeJourneyTests
{
    private const string Mailbox = "lawn";
    private const string Ann = "ann@example.com";
    private const string Bob = "bob@example.net";

    // Half past six in Tucson, where the clocks never change.
    private static readonly Instant First = Instant.FromUtc(2026, 5, 31, 13, 30);

    private readonly Place _tucson = ZipDirectory.Lookup("85719").Place!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Join_confirm_read_the_morning_tell_of_a_mowing_see_it_count_and_leave()
    {
        using var folder = new ScratchFolder();
        await using var sink = await SmtpSink.StartAsync(Cancel);
        await using var dovecot = await DovecotServer.StartAsync(Cancel);
        var post = new Post(sink, dovecot);
        var pictures = new JourneyPictures();

        // An empty install, the evening before; Bob, who stays, shows later that the mornings did come.
        string page;
        await using (var service = Start(First - Duration.FromHours(12), weather: null))
        {
            var confirm = await post.AskAsync(service, "lawn@example.org", "85719 bermuda");
            Assert.DoesNotContain("bermuda", confirm.TextBody, StringComparison.OrdinalIgnoreCase);
            Assert.Null(confirm.Headers["List-Unsubscribe-Post"]);
            pictures.Take("confirm", confirm);
            var welcome = await post.AskAsync(service, ReplyTo(confirm), "yes");
            Assert.Contains("on the list", welcome.Subject, StringComparison.Ordinal);
            pictures.Take("welcome", welcome);
            page = PageLink().Match(welcome.TextBody!).Groups["path"].Value;
            await post.AskAsync(
                service,
                ReplyTo(welcome),
                "set irrigated yes\nmowed 2 in yesterday"
            );
            await AddBobAsync(folder.Path);
            await service.StopAsync();
        }

        MimeMessage morning;
        (double? Inches, LocalDate Due) told;
        await using (var service = StartMorning(0, out var weather))
        {
            using var _ = weather;
            morning = await post.NextAsync(service, Ann, "the morning message");
            Assert.Contains("Tucson", morning.TextBody, StringComparison.Ordinal);
            Assert.Contains(
                "US National Weather Service",
                morning.TextBody,
                StringComparison.Ordinal
            );
            pictures.Take("morning", morning);
            told = Reckoned(morning.TextBody!, new(2026, 5, 31));
            Assert.Equal(told.Due, Reckoned(await PageAsync(service), new(2026, 5, 31)).Due);
            var receipt = await post.AskAsync(service, ReplyTo(morning), "mowed 1.5 in");
            pictures.Take("receipt", receipt);
            Assert.Contains("Mowed at 1.5 in", receipt.TextBody, StringComparison.Ordinal);
            // The page reckons from the new mowing at once.
            var html = await PageAsync(service);
            var sheet = await service.Http.GetStringAsync("style.css", Cancel);
            pictures.Take(
                "page",
                html.Replace("</head>", $"<style>{sheet}</style></head>", StringComparison.Ordinal)
            );
            Assert.True(Reckoned(html, new(2026, 5, 31)).Due > told.Due, html);
            await service.StopAsync();
        }

        await using (var service = StartMorning(1, out var weather))
        {
            using var _ = weather;
            var next = await post.NextAsync(service, Ann, "the next morning message");
            pictures.Take("next", next);
            // Cut at 1.5 in at noon: it has grown since, is shorter than it was, and falls due later.
            var then = Reckoned(next.TextBody!, new(2026, 6, 1));
            Assert.InRange(then.Inches!.Value, 1.5, told.Inches!.Value - 0.25);
            Assert.True(then.Due > told.Due.PlusDays(1), $"{then} after {told}");

            // What the mail program sends (RFC 8058 3.2): that one field, no cookie; and it follows nowhere.
            Assert.Equal("List-Unsubscribe=One-Click", next.Headers["List-Unsubscribe-Post"]);
            var leave = new Uri(
                LeaveLink().Match(next.Headers["List-Unsubscribe"]!).Groups["url"].Value
            );
            using var body = new FormUrlEncodedContent([new("List-Unsubscribe", "One-Click")]);
            using var left = await service.Http.PostAsync(leave.PathAndQuery, body, Cancel);
            Assert.Equal(HttpStatusCode.OK, left.StatusCode);
            var goodbye = await post.NextAsync(service, Ann, "the goodbye");
            pictures.Take("goodbye", goodbye);
            Assert.Contains("no more", goodbye.Subject, StringComparison.Ordinal);
            await service.StopAsync();
        }

        // The third morning falls due: Bob gets his message, and by then nothing has come for Ann.
        var before = post.Count(Ann);
        post.ReadAll(Bob);
        await using (var service = StartMorning(2, out var weather))
        {
            using var _ = weather;
            var stayed = await post.NextAsync(service, Bob, "the message of who stayed");
            Assert.Equal(new DateTime(2026, 6, 2), stayed.Date.Date);
            await service.StopAsync();
        }

        Assert.Equal(before, post.Count(Ann));
        await pictures.DrawAsync();
        await using var store = await OpenAsync(folder.Path);
        await foreach (
            var row in store.Outbox.ListAsync(Cancel, OutboxState.Queued, OutboxState.Claimed)
        )
        {
            Assert.NotEqual(Ann, row.Recipient);
        }

        async Task<string> PageAsync(ServeProcess service) =>
            WebUtility.HtmlDecode(await service.Http.GetStringAsync(page, Cancel));

        ServeProcess StartMorning(int day, out StubWeather weather)
        {
            var at = First + Duration.FromDays(day);
            weather = new StubWeather(_tucson, at);
            return Start(at - Duration.FromSeconds(8), weather);
        }

        ServeProcess Start(Instant at, StubWeather? weather) =>
            ServeProcess.Start(
                folder.Path,
                [
                    .. ServeProcess.Relay(sink.Port),
                    .. weather is null
                        ? Array.Empty<(string, string)>()
                        :
                        [
                            ("Weather:Nws:BaseAddress", weather.Url),
                            ("Weather:NasaPower:BaseAddress", weather.Url),
                        ],
                    ("Mail:Inbox:Host", "127.0.0.1"),
                    ("Mail:Inbox:Port", $"{dovecot.Port}"),
                    ("Mail:Inbox:Security", "None"),
                    ("Mail:Inbox:Username", Mailbox),
                    ("Mail:Inbox:Password", "any"),
                    ("Mail:Inbox:Address", "lawn@example.org"),
                ],
                ImmutableDictionary<string, string>.Empty,
                ["--at", InstantPattern.ExtendedIso.Format(at)]
            );
    }

    /// <summary>What a message or page reckons: how high the grass stands [in], which pages do not say, and when it falls due.</summary>
    private static (double? Inches, LocalDate Due) Reckoned(string text, LocalDate today)
    {
        var height = HeightForm().Match(text);
        double? inches = height.Success
            ? double.Parse(height.Groups["in"].Value, CultureInfo.InvariantCulture)
            : null;
        if (DueNow().IsMatch(text))
        {
            return (inches, today);
        }

        var due = DueForm().Match(text);
        Assert.True(due.Success, text);
        var month = DateTime.ParseExact(
            due.Groups["month"].Value[..3],
            "MMM",
            CultureInfo.InvariantCulture
        );
        return (
            inches,
            new(2026, month.Month, int.Parse(due.Groups["day"].Value, CultureInfo.InvariantCulture))
        );
    }

    private async Task AddBobAsync(string folder)
    {
        await using var store = await OpenAsync(folder);
        await store.Subscribers.AddAsync(
            Bob,
            new Lawn { Place = _tucson, Grass = GrassKind.Bermuda },
            Cancel
        );
    }

    // The service's clock is set; that of a command beside it must be too, or the lawn is younger than its mornings.
    private static Task<TurfStore> OpenAsync(string folder) =>
        TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = folder },
            new ShiftedClock(TimeProvider.System, First - Duration.FromHours(12)),
            Cancel,
            StoreAccess.Beside
        );

    private static string ReplyTo(MimeMessage message) =>
        message.ReplyTo.Mailboxes.Single().Address;

    [GeneratedRegex(@"https://lawn\.example\.org(?<path>/lawn/\S+)", RegexOptions.None, 1000)]
    private static partial Regex PageLink();

    [GeneratedRegex(@"<(?<url>https://lawn\.example\.org/u/[^>]+)>", RegexOptions.None, 1000)]
    private static partial Regex LeaveLink();

    [GeneratedRegex(
        @"(?i)about\s+(?<in>[\d.]+)\s+in[\w ]*,\s+give\s+or\s+take",
        RegexOptions.None,
        1000
    )]
    private static partial Regex HeightForm();

    [GeneratedRegex(
        @"fall\s+due\s+about\s+(\w+,?\s+)?(?<month>(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\w*)\s+(?<day>\d+)",
        RegexOptions.None,
        1000
    )]
    private static partial Regex DueForm();

    [GeneratedRegex(@"due\s+for\s+a\s+cut\s+about\s+now", RegexOptions.None, 1000)]
    private static partial Regex DueNow();

    /// <summary>Ann's side of the mail: what she writes, and what has come for whom.</summary>
    private sealed class Post(SmtpSink sink, DovecotServer dovecot)
    {
        private readonly HashSet<string> _read = new(StringComparer.Ordinal);

        public int Count(string to) => sink.Messages().Count(m => IsTo(m, to));

        /// <summary>Writes a message and reads the one that answers it.</summary>
        public async Task<MimeMessage> AskAsync(ServeProcess service, string to, string text)
        {
            dovecot.Deliver(
                Mailbox,
                $"""
                From: Ann <{Ann}>
                To: {to}
                Delivered-To: {to}
                Message-ID: <{Guid.NewGuid():N}@example.com>
                Date: Sun, 31 May 2026 07:00:00 -0700
                Subject: Re: lawn
                Content-Type: text/plain; charset=utf-8

                {text}

                """
            );
            return await NextAsync(service, Ann, $"the answer to '{text}'");
        }

        /// <summary>Takes what has come so far for read.</summary>
        public void ReadAll(string to) =>
            _read.UnionWith(sink.Messages().Where(m => IsTo(m, to) && IsWhole(m)));

        /// <summary>The next message for somebody that was not read yet.</summary>
        public async Task<MimeMessage> NextAsync(ServeProcess service, string to, string what)
        {
            string? raw = null;
            await service.UntilAsync(() =>
            {
                raw = sink.Messages()
                    .FirstOrDefault(m => IsTo(m, to) && IsWhole(m) && !_read.Contains(m));
                return Task.FromResult(raw is not null);
            });
            Assert.True(_read.Add(raw!), what);
            // The sink's own lines come before the message.
            using var bytes = new MemoryStream(System.Text.Encoding.Latin1.GetBytes(raw!));
            return await MimeMessage.LoadAsync(bytes, Cancel);
        }

        // The sink writes as the bytes come; all our messages have parts, and end with the line that ends the last.
        private static bool IsWhole(string raw) =>
            raw.TrimEnd().EndsWith("--", StringComparison.Ordinal);

        private static bool IsTo(string raw, string to) =>
            raw.Contains($"X-Rcpt-Args: <{to}>", StringComparison.OrdinalIgnoreCase);
    }
}
