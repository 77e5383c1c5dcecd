using MimeKit;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.People;

/// <summary>From an empty install to goodbye, by mail alone: the real program, Postfix's sink for what it sends, Dovecot for what people write.</summary>
public sealed class JourneyTests
{
    private const string Mailbox = "lawn";

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Join_confirm_tell_undo_and_leave_by_mail()
    {
        using var folder = new ScratchFolder();
        await using var sink = await SmtpSink.StartAsync(Cancel);
        await using var dovecot = await DovecotServer.StartAsync(Cancel);
        await using var service = ServeProcess.Start(
            folder.Path,
            [
                .. ServeProcess.Relay(sink.Port),
                ("Mail:Inbox:Host", "127.0.0.1"),
                ("Mail:Inbox:Port", $"{dovecot.Port}"),
                ("Mail:Inbox:Security", "None"),
                ("Mail:Inbox:Username", Mailbox),
                ("Mail:Inbox:Password", "any"),
                ("Mail:Inbox:Address", "lawn@example.org"),
            ]
        );

        var confirm = await AskAsync("lawn@example.org", "79912 bermuda with rye, 3000 sq ft");
        Assert.Contains("not on the list yet", confirm.TextBody, StringComparison.Ordinal);

        var welcome = await AskAsync(ReplyTo(confirm), "Yes please");
        Assert.Contains(
            "bermudagrass with annual ryegrass",
            welcome.TextBody,
            StringComparison.Ordinal
        );

        var mowed = await AskAsync(
            ReplyTo(welcome),
            "mowed 2 in\n\nOn Wed, Nov 25, 2026 at 6:31 AM TurfWatch <lawn@example.org> wrote:\n> STOP"
        );
        Assert.Contains("Mowed at 2", mowed.TextBody, StringComparison.Ordinal);
        Assert.Equal([5.08], (await JournalAsync()).Select(e => Math.Round(e.Amount!.Value, 6)));

        await AskAsync(ReplyTo(mowed), "undo");
        Assert.Empty(await JournalAsync());

        var goodbye = await AskAsync(ReplyTo(mowed), "STOP");
        Assert.Contains("off the list", goodbye.TextBody, StringComparison.Ordinal);
        Assert.Equal(SubscriberStatus.Left, (await OwnerAsync())!.Subscriber.Status);
        Assert.Empty(dovecot.Messages(Mailbox));
        await service.StopAsync();
        // Nobody's address stands in the log.
        Assert.DoesNotContain("ann@example.com", service.Log, StringComparison.OrdinalIgnoreCase);

        // Writes a message and waits for the one that answers it.
        async Task<MimeMessage> AskAsync(string to, string text)
        {
            var before = sink.Messages().ToHashSet(StringComparer.Ordinal);
            dovecot.Deliver(
                Mailbox,
                $"""
                From: Ann <ann@example.com>
                To: {to}
                Delivered-To: {to}
                Message-ID: <{Guid.NewGuid():N}@example.com>
                Date: Wed, 25 Nov 2026 07:00:00 -0700
                Subject: Re: lawn
                Content-Type: text/plain; charset=utf-8

                {text}

                """
            );
            await service.UntilAsync(() => Task.FromResult(sink.Messages().Count > before.Count));
            var raw = sink.Messages().Single(m => !before.Contains(m));
            // The sink's own lines come before the message.
            using var bytes = new MemoryStream(System.Text.Encoding.Latin1.GetBytes(raw));
            return await MimeMessage.LoadAsync(bytes, Cancel);
        }

        async Task<IEnumerable<JournalEntry>> JournalAsync() =>
            await ReadAsync(async store =>
                (
                    await store.Journal.LoadAsync(
                        (await store.Subscribers.FindAsync("ann@example.com", Cancel))!.Lawns[0].Id,
                        Cancel
                    )
                ).Entries.AsEnumerable()
            );

        Task<SubscriberLawns?> OwnerAsync() =>
            ReadAsync(store => store.Subscribers.FindAsync("ann@example.com", Cancel));

        async Task<T> ReadAsync<T>(Func<TurfStore, Task<T>> read)
        {
            await using var store = await TurfStore.OpenAsync(
                new StoreOptions { DataDirectory = folder.Path },
                TimeProvider.System,
                Cancel,
                StoreAccess.Beside
            );
            return await read(store);
        }
    }

    private static string ReplyTo(MimeMessage message) =>
        message.ReplyTo.Mailboxes.Single().Address;
}
