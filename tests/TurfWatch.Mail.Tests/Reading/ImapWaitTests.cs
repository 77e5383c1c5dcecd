using System.Diagnostics;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.Extensions.Time.Testing;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>Waiting for mail, and getting over what the server does meanwhile.</summary>
[Collection(AloneInTheProcess.Name)]
public sealed class ImapWaitTests : ImapRig
{
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
}
