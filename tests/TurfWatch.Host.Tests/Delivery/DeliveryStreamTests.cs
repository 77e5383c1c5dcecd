using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <summary>Messages flow to the connections as these come free; batches are how they are claimed, not how they are sent.</summary>
public sealed class DeliveryStreamTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_slow_transaction_keeps_no_other_message_waiting()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(40);
        var options = DeliveryBench.Unpaced();
        options.Batch = 5;
        var others = new TaskCompletionSource();
        var left = messages.Count - 1;
        bench.Relay.Script = async (message, _) =>
        {
            if (message.MessageId == messages[0].MessageId)
            {
                // Answers only when all others are done, batches after its own.
                await others.Task.WaitAsync(TimeSpan.FromSeconds(60), Cancellation);
            }
            else if (Interlocked.Decrement(ref left) == 0)
            {
                others.SetResult();
            }

            return null;
        };

        var report = await bench.Sweep(options).RunAsync(Cancellation);

        Assert.Equal((40, null), (report.Sent, report.Halted));
    }

    // Fault T5: the machine sleeps while a transaction is under way; awake, the next sweep comes before the relay's answer.
    [Fact]
    public async Task A_transaction_under_way_outlives_its_lease_when_the_machine_slept()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(40);
        var options = DeliveryBench.Unpaced();
        options.Batch = 5;
        var answer = new TaskCompletionSource();
        var others = 0;
        bench.Relay.Script = async (message, _) =>
        {
            if (message.MessageId == messages[0].MessageId)
            {
                bench.Time.Advance(options.SendingLease * 2);
                await answer.Task.WaitAsync(TimeSpan.FromSeconds(60), Cancellation);
            }
            else if (Interlocked.Increment(ref others) == 30)
            {
                answer.SetResult(); // batches, and with them a sweep, have passed
            }

            return null;
        };

        await bench.Sweep(options).RunAsync(Cancellation);

        Assert.Equal(OutboxState.Sent, (await bench.RowAsync(messages[0])).State);
    }

    [Fact]
    public async Task A_message_that_lost_its_lease_is_sent_while_no_other_is_under_way()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var suspect = (await bench.QueueAsync(1, MessageKind.Alert))[0];
        await bench.Store.Outbox.ClaimAsync("dead", 1, Duration.FromMinutes(1), Cancellation);
        bench.Time.Advance(TimeSpan.FromMinutes(2));
        await bench.QueueAsync(30);
        var options = DeliveryBench.Unpaced(connections: 4);
        options.Batch = 5; // 30 are six full batches: the next claim finds only the suspect
        var underWay = 0;
        var beside = -1;
        bench.Relay.Script = async (message, _) =>
        {
            var now = Interlocked.Increment(ref underWay);
            await Task.Delay(5, Cancellation);
            if (message.MessageId == suspect.MessageId)
            {
                beside = Math.Max(now, underWay) - 1;
            }

            Interlocked.Decrement(ref underWay);
            return (SendOutcome?)null;
        };

        var report = await bench.Sweep(options).RunAsync(Cancellation);

        Assert.Equal(31, report.Sent);
        Assert.Equal(0, beside);
        Assert.Equal(suspect.MessageId, bench.Relay.Taken[^1].MessageId);
    }
}
