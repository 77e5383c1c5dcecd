using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <summary>
/// The real program, a real SMTP conversation, and SIGKILL (fault P1). The server notes each message before
/// it answers, so what it holds is what was delivered, whatever the sender came to know.
/// </summary>
public sealed class KillTests
{
    private const int Count = 200;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Killed_twice_during_200_messages_it_delivers_each_once_or_says_unknown()
    {
        using var folder = new ScratchFolder();
        // Taken, and the 250 a little late: a kill often falls between the two.
        await using var smtp = FaultySmtp.Start(
            SmtpScript.Healthy.With(
                SmtpStep.Dot,
                SmtpFault.Late(TimeSpan.FromMilliseconds(40)) with
                {
                    TakeFirst = true,
                }
            )
        );
        await QueueAsync(folder.Path);

        foreach (var killAt in new[] { 37, 121 })
        {
            await using var service = Serve(folder.Path, smtp.Port);
            await service.UntilAsync(() => Task.FromResult(smtp.Taken.Count >= killAt));
            Assert.Equal(128 + 9, await service.KillAsync());
            Assert.True(smtp.Taken.Count < Count, "it was killed only after all was delivered");
        }

        await using var last = Serve(folder.Path, smtp.Port);
        await last.UntilAsync(() => SettledAsync(folder.Path));
        await last.StopAsync();

        var copies = smtp.Taken.GroupBy(m => m.MessageId).ToDictionary(g => g.Key, g => g.Count());
        var unknown = 0;
        await foreach (var row in RowsAsync(folder.Path))
        {
            var delivered = copies.GetValueOrDefault(row.MessageId);
            switch (row.State)
            {
                case OutboxState.Sent:
                    Assert.Equal((row.MessageId, 1), (row.MessageId, delivered));
                    break;
                case OutboxState.Unknown:
                    unknown++;
                    Assert.InRange(delivered, 0, 1);
                    break;
                default:
                    Assert.Fail($"{row.MessageId} is {row.State}: {row.LastReply}\n{last.Log}");
                    break;
            }
        }

        // Two kills, two transactions at a time at most.
        Assert.InRange(unknown, 0, 4);
        Assert.InRange(copies.Count, Count - unknown, Count);
        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{Count} messages, 2 kills: {copies.Count} delivered once, {unknown} rows unknown, "
                + $"of which {copies.Count - (Count - unknown)} had arrived"
        );
    }

    private static ServeProcess Serve(string folder, int port) =>
        ServeProcess.Start(folder, ServeProcess.Relay(port));

    private static async Task QueueAsync(string folder)
    {
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder },
            TimeProvider.System,
            Cancellation
        );
        await QueuedMornings.AddAsync(store, "kill", Count, Cancellation);
    }

    private static async Task<bool> SettledAsync(string folder)
    {
        await foreach (var row in RowsAsync(folder))
        {
            if (row.State is OutboxState.Queued or OutboxState.Claimed or OutboxState.Sending)
            {
                return false;
            }
        }

        return true;
    }

    private static async IAsyncEnumerable<OutboxMessage> RowsAsync(string folder)
    {
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder },
            TimeProvider.System,
            Cancellation,
            StoreAccess.Beside
        );
        await foreach (var row in store.Outbox.ListAsync(Cancellation))
        {
            yield return row;
        }
    }
}
