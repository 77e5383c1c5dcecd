using Microsoft.Data.Sqlite;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

public sealed partial class DeliverySweepTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Everything_due_is_sent_once_with_the_relays_answer_on_record()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(120);
        var sweep = bench.Sweep();

        var report = await sweep.RunAsync(Cancellation);
        await sweep.RunAsync(Cancellation);

        Assert.Equal((120, null), (report.Sent, report.Halted));
        Assert.Equal(
            messages.Select(m => m.MessageId).Order(),
            bench.Relay.Taken.Select(m => m.MessageId).Order()
        );
        var row = await bench.RowAsync(messages[0]);
        Assert.Equal(OutboxState.Sent, row.State);
        Assert.StartsWith("250 2.0.0 queued as", row.LastReply, StringComparison.Ordinal);
    }

    // Fault Q2: the sweep is fired twice at once.
    [Fact]
    public async Task Sweeps_that_run_at_once_send_each_message_once()
    {
        await using var bench = await DeliveryBench.StartAsync();
        await bench.QueueAsync(100);
        var options = DeliveryBench.Unpaced();
        options.Batch = 7;

        await Task.WhenAll(
            Enumerable
                .Range(0, 3)
                .Select(_ => Task.Run(() => bench.Sweep(options).RunAsync(Cancellation)))
        );

        Assert.Equal(100, bench.Relay.Taken.Count);
        Assert.Equal(100, bench.Relay.Taken.Select(m => m.Id).Distinct().Count());
    }

    [Fact]
    public async Task One_message_that_breaks_the_sender_stops_no_other()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(30);
        bench.Relay.Script = (m, _) =>
            m.MessageId == messages[7].MessageId
                ? throw new FormatException("a bad header")
                : Task.FromResult<SendOutcome?>(null);

        var report = await bench.Sweep().RunAsync(Cancellation);

        Assert.Equal((29, 1), (report.Sent, report.Unknown));
        Assert.Contains(
            "a bad header",
            (await bench.RowAsync(messages[7])).LastReply,
            StringComparison.Ordinal
        );
    }

    // Fault D8: the reserve stands for the full disk here; a really full one is in the store's tests.
    [Fact]
    public async Task Nothing_is_sent_while_its_end_could_not_be_saved_and_sending_resumes_by_itself()
    {
        await using var bench = await DeliveryBench.StartAsync();
        await bench.QueueAsync(20);
        var sweep = bench.Sweep(DeliveryBench.Unpaced(connections: 1));
        bench.Relay.Answer(m =>
        {
            if (bench.Relay.Calls == 5)
            {
                bench.MinFreeDiskMiB = 1_000_000;
            }

            return null;
        });

        var halted = await sweep.RunAsync(Cancellation);
        Assert.Equal(5, halted.Sent);
        Assert.Contains("No mail is sent", halted.Halted, StringComparison.Ordinal);
        Assert.NotNull((await sweep.RunAsync(Cancellation)).Halted);
        Assert.Equal(5, bench.Relay.Calls);

        bench.MinFreeDiskMiB = 1;
        await sweep.RunAsync(Cancellation);
        Assert.Equal(20, bench.Relay.Taken.Select(m => m.Id).Distinct().Count());
        Assert.Equal(20, bench.Relay.Calls);
    }

    // Fault D7: another program holds the database just when the 250 is to be written down.
    [Fact]
    public async Task An_end_that_cannot_be_saved_is_saved_before_anything_else_is_sent()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(3);
        var sweep = bench.Sweep(DeliveryBench.Unpaced(connections: 1));
        await using var other = new SqliteConnection(
            $"Data Source={bench.DatabasePath};Pooling=False"
        );
        await other.OpenAsync(Cancellation);
        SqliteTransaction? held = null;
        bench.Relay.Answer(_ =>
        {
            held ??= other.BeginTransaction(deferred: false);
            return null;
        });

        var halted = await sweep.RunAsync(Cancellation);
        Assert.Contains("held by another program", halted.Halted, StringComparison.Ordinal);
        Assert.Equal(1, bench.Relay.Calls);
        Assert.Equal(OutboxState.Sending, (await bench.RowAsync(bench.Relay.Taken[0])).State);

        await held!.DisposeAsync();
        await sweep.RunAsync(Cancellation);
        foreach (var message in messages)
        {
            Assert.Equal(OutboxState.Sent, (await bench.RowAsync(message)).State);
        }

        Assert.Equal(3, bench.Relay.Calls);
    }

    // Fault P7
    [Fact]
    public async Task Told_to_stop_it_finishes_what_is_under_way_and_puts_the_rest_back()
    {
        await using var bench = await DeliveryBench.StartAsync();
        await bench.QueueAsync(10);
        using var stop = new CancellationTokenSource();
        bench.Relay.Script = async (_, _) =>
        {
            await stop.CancelAsync();
            return null;
        };

        var report = await bench.Sweep(DeliveryBench.Unpaced(connections: 1)).RunAsync(stop.Token);

        Assert.Equal((1, 9), (report.Sent, report.Returned));
        var counts = await bench.Store.Outbox.CountAsync(Cancellation);
        Assert.Equal((1, 9), (counts[OutboxState.Sent], counts[OutboxState.Queued]));
        await foreach (var row in bench.Store.Outbox.ListAsync(Cancellation))
        {
            Assert.Equal(row.State == OutboxState.Sent ? 1 : 0, row.Attempts);
        }
    }

    [Fact]
    public async Task A_transaction_that_outlasts_the_grace_is_cut_and_goes_back()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var message = (await bench.QueueAsync(1))[0];
        using var stop = new CancellationTokenSource();
        bench.Relay.Script = async (_, cancellation) =>
        {
            await stop.CancelAsync();
            bench.Time.Advance(TimeSpan.FromSeconds(20));
            await Task.Delay(Timeout.Infinite, cancellation);
            return null;
        };

        var report = await bench.Sweep().RunAsync(stop.Token);

        Assert.Equal((0, 1), (report.Sent, report.Returned));
        Assert.Equal(
            (OutboxState.Queued, "the service stopped before it was sent"),
            Of(await bench.RowAsync(message))
        );
    }

    // Fault H2, R10
    [Fact]
    public async Task No_transaction_starts_for_a_subscriber_after_the_leave_is_committed()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(80);
        var left = new HashSet<long>();
        var broken = new List<long>();
        var gate = new Lock();
        bench.Relay.Answer(m =>
        {
            lock (gate)
            {
                if (left.Contains(m.SubscriberId))
                {
                    broken.Add(m.SubscriberId);
                }
            }

            return null;
        });

        var running = Task.Run(() => bench.Sweep().RunAsync(Cancellation));
        foreach (var message in messages.AsEnumerable().Reverse())
        {
            var row = await bench.RowAsync(message);
            await bench.Store.Subscribers.SetStatusAsync(
                message.SubscriberId,
                SubscriberStatus.Left,
                "asked to leave",
                Cancellation
            );
            if (row.State is OutboxState.Queued or OutboxState.Claimed)
            {
                // Was the row settled by the leave? Then nothing may be sent from now on.
                row = await bench.RowAsync(message);
                lock (gate)
                {
                    if (row.State == OutboxState.Suppressed)
                    {
                        left.Add(message.SubscriberId);
                    }
                }
            }
        }

        await running;
        Assert.Empty(broken);
        Assert.NotEmpty(left);
        var counts = await bench.Store.Outbox.CountAsync(Cancellation);
        Assert.Equal(left.Count, counts[OutboxState.Suppressed]);
        Assert.Equal(80 - left.Count, counts[OutboxState.Sent]);
        Assert.Equal(80 - left.Count, bench.Relay.Taken.Count);
    }

    [Fact]
    public async Task Messages_wait_rather_than_begin_on_a_lease_about_to_lapse()
    {
        await using var bench = await DeliveryBench.StartAsync();
        await bench.QueueAsync(4);
        bench.Relay.Answer(_ =>
        {
            bench.Time.Advance(TimeSpan.FromSeconds(100));
            return null;
        });

        var report = await bench
            .Sweep(DeliveryBench.Unpaced(connections: 1))
            .RunAsync(Cancellation);

        Assert.Equal(4, report.Sent);
        Assert.Equal(3 + 2 + 1, report.Returned);
        Assert.Equal(4, bench.Relay.Calls);
    }

    private static (OutboxState, string?) Of(OutboxMessage row) => (row.State, row.LastReply);

    private static async Task<SubscriberStatus> StatusAsync(
        DeliveryBench bench,
        OutboxMessage message
    ) =>
        (await bench.Store.Subscribers.FindAsync(message.Recipient, Cancellation))!
            .Subscriber
            .Status;
}
