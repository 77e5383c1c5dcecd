using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Tests.Delivery;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Workers;

/// <summary>
/// Several real workers on one real PostgreSQL: one is killed in the middle of the delivery, and nobody does anything about
/// it (R32, faults P1 and Q1). Postfix's smtp-sink is the judge of what was delivered.
/// </summary>
public sealed class WorkersTests
{
    private const int Count = 300;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Three_workers_of_which_one_is_killed_deliver_each_message_once_and_the_sweeps_go_on()
    {
        await using var server = await PostgresServer.StartAsync(Cancellation, durable: true);
        var database = await server.NewDatabaseAsync(Cancellation);
        using var first = new ScratchFolder();
        using var second = new ScratchFolder();
        using var third = new ScratchFolder();
        await using var sink = await SmtpSink.StartAsync(Cancellation);
        LinkTokens.Open(first.Path);
        foreach (var folder in new[] { second, third })
        {
            File.Copy(
                Path.Combine(first.Path, LinkTokens.FileName),
                Path.Combine(folder.Path, LinkTokens.FileName)
            );
        }

        StoreOptions Options(ScratchFolder folder) =>
            new() { DataDirectory = folder.Path, Postgres = server.ConnectionString(database) };
        ServeProcess Serve(ScratchFolder folder) =>
            ServeProcess.Start(
                folder.Path,
                [
                    .. ServeProcess.Relay(sink.Port),
                    ("Store:Postgres", server.ConnectionString(database)),
                    ("Jobs:SeasonSweep", "00:00:01"),
                    // A dead worker's claims are free after this.
                    ("Delivery:Lease", "00:00:30"),
                    ("Delivery:Batch", "10"),
                    // So slow that the kill falls into the delivery.
                    ("Delivery:PerSecond", "20"),
                ]
            );

        await using var store = await TurfStore.OpenAsync(
            Options(first),
            TimeProvider.System,
            Cancellation
        );
        await using var ann = Serve(first);
        await using var bob = Serve(second);
        await using var cid = Serve(third);
        foreach (var worker in new[] { ann, bob, cid })
        {
            await worker.UntilReadySaysAsync(text =>
                text.StartsWith("ready", StringComparison.Ordinal)
            );
        }

        await QueuedMornings.AddAsync(store, "workers", Count, Cancellation);
        await ann.UntilAsync(() => Task.FromResult(sink.Messages().Count >= Count / 4));
        // The one that dies is the one that does the sweeps.
        var sweeper = await SweeperAsync();
        var dies = new[] { bob, cid }.FirstOrDefault(w => w.Id == sweeper) ?? ann;
        await dies.KillAsync();
        var killedAt = Now;
        Assert.True(sink.Messages().Count < Count, "it was killed only after all was delivered");

        var lives = dies == ann ? bob : ann;
        await lives.UntilAsync(() => SweptSinceAsync(killedAt));
        var resumed = Now - killedAt;
        await lives.UntilAsync(() => SettledAsync(store));
        var settled = Now - killedAt;

        var copies = sink.Messages()
            .GroupBy(MessageId)
            .ToDictionary(g => g.Key, g => g.Count(), StringComparer.Ordinal);
        var owners = new HashSet<string>(StringComparer.Ordinal);
        var unknown = 0;
        await foreach (var row in store.Outbox.ListAsync(Cancellation))
        {
            var delivered = copies.GetValueOrDefault(row.MessageId);
            switch (row.State)
            {
                case OutboxState.Sent:
                    Assert.Equal((row.MessageId, 1), (row.MessageId, delivered));
                    break;
                // In the transaction that the kill cut: unknown, once its lease is over.
                case OutboxState.Unknown or OutboxState.Sending:
                    unknown++;
                    Assert.InRange(delivered, 0, 1);
                    break;
                default:
                    Assert.Fail($"{row.MessageId} is {row.State}: {row.LastReply}");
                    break;
            }
        }

        Assert.InRange(unknown, 0, 2);
        foreach (var worker in new[] { ann, bob, cid }.Where(w => w != dies))
        {
            await worker.StopAsync();
        }

        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{Count} messages, 3 workers, 1 killed: {copies.Count} delivered once, {unknown} unknown; "
                + $"the sweeps went on {resumed.TotalSeconds:0.0} s and all was settled {settled.TotalSeconds:0.0} s after the kill"
        );

        async Task<int?> SweeperAsync()
        {
            // Quartz's own record of who runs, or ran last, what.
            var name = await server.ExecuteAsync(
                database,
                "SELECT instance_name FROM qrtz_fired_triggers ORDER BY fired_time DESC LIMIT 1",
                Cancellation
            );
            return name is string text
                ? int.Parse(text.Split(':')[1], CultureInfo.InvariantCulture)
                : null;
        }

        async Task<bool> SweptSinceAsync(Instant since) =>
            await server.ExecuteAsync(
                database,
                $"SELECT COUNT(*) FROM qrtz_triggers WHERE sched_name = 'turfwatch' AND prev_fire_time > {since.ToDateTimeUtc().Ticks}",
                Cancellation
            )
                is long
                    and >= 3;
    }

    private static Instant Now => Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());

    private static string MessageId(string message) =>
        message
            .Split('\n')
            .First(l => l.StartsWith("Message-ID:", StringComparison.OrdinalIgnoreCase))
            .Split('<', '>')[1];

    private static async Task<bool> SettledAsync(TurfStore store)
    {
        var counts = await store.Outbox.CountAsync(Cancellation);
        return counts[OutboxState.Queued] + counts[OutboxState.Claimed] == 0
            && counts[OutboxState.Sending] <= 2;
    }
}
