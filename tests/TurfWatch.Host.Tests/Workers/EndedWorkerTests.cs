using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Tests.Backups;
using TurfWatch.Host.Tests.Delivery;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Workers;

/// <summary>
/// Two workers of one machine: one stops in the middle of its transactions, and the other must leave it alone; then it is killed, and the
/// other settles at once what it left, long before a lease is over.
/// </summary>
public sealed class EndedWorkerTests
{
    private const int Mornings = 12;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_a_killed_worker_left_is_settled_at_once_and_what_a_stopped_one_holds_is_left_alone()
    {
        await using var server = await PostgresServer.StartAsync(Cancel, durable: true);
        var postgres = server.ConnectionString(await server.NewDatabaseAsync(Cancel));
        using var folder = new ScratchFolder();
        LinkTokens.Open(folder.Path);
        var stuck = true;
        await using var relay = FaultySmtp.Start(
            SmtpScript.Healthy.With(
                SmtpStep.Dot,
                SmtpFault.TakeThenHang() with
                {
                    If = _ => Volatile.Read(ref stuck),
                }
            )
        );
        ServeProcess Serve() =>
            ServeProcess.Start(
                folder.Path,
                [
                    .. ServeProcess.Relay(relay.Port),
                    ("Store:Postgres", postgres),
                    ("Delivery:Connections", "2"),
                    ("Delivery:Batch", "8"),
                    // Long enough that none is over while the test runs, whatever else the machine does.
                    ("Delivery:Lease", "00:30:00"),
                    ("Delivery:SendingLease", "01:00:00"),
                ]
            );

        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder.Path, Postgres = postgres },
            TimeProvider.System,
            Cancel
        );
        await QueuedMornings.AddAsync(store, "ended", Mornings, Cancel);
        var whom = (await store.Subscribers.FindAsync("r0@example.com", Cancel))!.Subscriber;
        // Due before the others, so that it is under way with them.
        await store.Outbox.EnqueueAsync(
            [
                OperatorBench.Message(
                    whom,
                    "alert",
                    Now - Duration.FromMinutes(1),
                    Duration.FromHours(3),
                    MessageKind.Alert
                ),
            ],
            Cancel
        );

        await using var ann = Serve();
        await ann.UntilAsync(() => Task.FromResult(relay.Taken.Count == 2));
        await PostgresServer.SignalAsync("STOP", ann.Id);
        var (sending, claimed) = await HeldByAnnAsync();
        Assert.Equal(2, sending);
        Assert.True(claimed > 0, "it had claimed no more than it was sending");

        Volatile.Write(ref stuck, false);
        await using var bob = Serve();
        // Bob sends what is free, and sweeps again and again.
        await bob.UntilAsync(async () =>
            (await store.Outbox.CountAsync(Cancel))[OutboxState.Queued] == 0
        );
        await Task.Delay(TimeSpan.FromSeconds(5), Cancel);
        Assert.Equal((sending, claimed), await HeldByAnnAsync());

        await ann.KillAsync();
        await bob.UntilAsync(async () => await HeldByAnnAsync() is (0, 0));
        await bob.UntilAsync(async () =>
            (await store.Outbox.CountAsync(Cancel))[OutboxState.Queued] == 0
        );
        Assert.Contains("of this machine has ended", bob.Log, StringComparison.Ordinal);
        await bob.StopAsync();

        // The alert that ann had in hand came twice, with one Message-ID; the morning is unknown and came once; so did the rest.
        var copies = relay.Taken.GroupBy(m => m.MessageId).ToDictionary(g => g.Key, g => g.Count());
        Assert.Equal(Mornings + 1, copies.Count);
        var alert = copies.Single(c => !c.Key.StartsWith("ended.", StringComparison.Ordinal));
        Assert.Equal(2, alert.Value);
        Assert.All(copies.Where(c => c.Key != alert.Key), c => Assert.Equal(1, c.Value));
        var counts = await store.Outbox.CountAsync(Cancel);
        Assert.Equal((Mornings, 1), (counts[OutboxState.Sent], counts[OutboxState.Unknown]));

        async Task<(int Sending, int Claimed)> HeldByAnnAsync()
        {
            var states = await store.Outbox.CountAsync(Cancel);
            return (states[OutboxState.Sending], states[OutboxState.Claimed]);
        }
    }

    private static Instant Now => Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
}
