using Microsoft.Data.Sqlite;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <content>Relays that refuse, ask for patience, or are away.</content>
public sealed partial class DeliverySweepTests
{
    [Fact]
    public async Task A_refusal_for_now_is_tried_again_after_a_random_wait_below_the_base()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var message = (await bench.QueueAsync(1))[0];
        var sweep = bench.Sweep();
        bench.Relay.Answer(_ => new SendOutcome.Temporary("451 4.7.1 greylisted", null));

        Assert.Equal(1, (await sweep.RunAsync(Cancellation)).Retried);
        Assert.Equal(
            (OutboxState.Queued, "451 4.7.1 greylisted"),
            Of(await bench.RowAsync(message))
        );
        bench.Relay.Script = null;
        bench.Time.Advance(TimeSpan.FromMinutes(1));
        Assert.Equal(1, (await sweep.RunAsync(Cancellation)).Sent);
        Assert.Equal(2, (await bench.RowAsync(message)).Attempts);
    }

    [Fact]
    public async Task A_wait_that_the_relay_asks_for_is_kept()
    {
        await using var bench = await DeliveryBench.StartAsync();
        await bench.QueueAsync(1);
        var sweep = bench.Sweep();
        bench.Relay.Answer(_ => new SendOutcome.Temporary(
            "450 retry in 20 minutes",
            TimeSpan.FromMinutes(20)
        ));
        await sweep.RunAsync(Cancellation);
        bench.Relay.Script = null;

        bench.Time.Advance(TimeSpan.FromMinutes(20) - TimeSpan.FromMilliseconds(1));
        Assert.Equal(0, (await sweep.RunAsync(Cancellation)).Sent);
        bench.Time.Advance(TimeSpan.FromMinutes(2));
        Assert.Equal(1, (await sweep.RunAsync(Cancellation)).Sent);
    }

    [Fact]
    public async Task A_relay_that_refuses_all_morning_is_asked_a_dozen_times_at_most()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var message = (await bench.QueueAsync(1))[0];
        var sweep = bench.Sweep();
        bench.Relay.Answer(_ => new SendOutcome.Temporary("421 too busy", null));

        for (var minute = 0; minute < 181; minute++)
        {
            await sweep.RunAsync(Cancellation);
            bench.Time.Advance(TimeSpan.FromMinutes(1));
        }

        Assert.InRange(bench.Relay.Calls, 5, 12);
        Assert.Contains(
            (await bench.RowAsync(message)).State,
            new[] { OutboxState.Expired, OutboxState.Dead }
        );
        Assert.Contains(
            "421 too busy",
            (await bench.RowAsync(message)).LastReply,
            StringComparison.Ordinal
        );
    }

    // Fault S3
    [Fact]
    public async Task An_address_that_does_not_exist_is_never_written_to_again()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(2);
        bench.Relay.Answer(m =>
            m.MessageId == messages[0].MessageId
                ? new SendOutcome.Permanent("550 5.1.1 no such user", HardBounce: true)
                : new SendOutcome.Permanent("554 5.6.0 looks odd", HardBounce: false)
        );

        Assert.Equal(2, (await bench.Sweep().RunAsync(Cancellation)).Refused);

        Assert.Equal(
            (OutboxState.Dead, "550 5.1.1 no such user"),
            Of(await bench.RowAsync(messages[0]))
        );
        Assert.Equal(SubscriberStatus.Suppressed, await StatusAsync(bench, messages[0]));
        Assert.Equal(
            (OutboxState.Dead, "554 5.6.0 looks odd"),
            Of(await bench.RowAsync(messages[1]))
        );
        Assert.Equal(SubscriberStatus.Active, await StatusAsync(bench, messages[1]));
    }

    // Faults P4, S8, S10
    [Theory]
    [InlineData(MessageKind.Morning, 1)]
    [InlineData(MessageKind.Digest, 1)]
    [InlineData(MessageKind.Alert, 2)]
    [InlineData(MessageKind.Test, 2)]
    public async Task An_unknown_end_brings_two_copies_at_most_and_of_a_morning_one(
        MessageKind kind,
        int copies
    )
    {
        await using var bench = await DeliveryBench.StartAsync();
        var message = (await bench.QueueAsync(1, kind))[0];
        var sweep = bench.Sweep();
        bench.Relay.Answer(m =>
        {
            bench.Relay.Take(m);
            return new SendOutcome.Unknown("no answer to the finished message");
        });

        for (var i = 0; i < 5; i++)
        {
            await sweep.RunAsync(Cancellation);
            bench.Time.Advance(TimeSpan.FromMinutes(5));
        }

        Assert.Equal(copies, bench.Relay.Taken.Count);
        Assert.Single(bench.Relay.Taken.Select(m => m.MessageId).Distinct());
        Assert.Equal(OutboxState.Unknown, (await bench.RowAsync(message)).State);
    }

    // Faults S13, S14
    [Fact]
    public async Task A_relay_that_is_down_costs_no_attempt_and_is_left_alone_for_longer_each_time()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(60);
        var sweep = bench.Sweep(DeliveryBench.Unpaced(connections: 1));
        bench.Relay.Answer(_ => new SendOutcome.RelayDown("the login was refused: 535"));

        var first = await sweep.RunAsync(Cancellation);
        Assert.Equal(1, bench.Relay.Calls);
        Assert.Equal(50, first.Returned);
        Assert.Contains("the login was refused: 535", first.Halted, StringComparison.Ordinal);
        await sweep.RunAsync(Cancellation);
        Assert.Equal(1, bench.Relay.Calls);

        // 1, 2, 4 … minutes, then every 10: with a look each minute, 60 minutes hold these calls.
        for (var minute = 0; minute < 60; minute++)
        {
            bench.Time.Advance(TimeSpan.FromMinutes(1));
            await sweep.RunAsync(Cancellation);
        }

        Assert.InRange(bench.Relay.Calls, 8, 10);
        Assert.Equal(0, (await bench.RowAsync(messages[0])).Attempts);

        bench.Relay.Script = null;
        bench.Time.Advance(TimeSpan.FromMinutes(10));
        Assert.Equal(60, (await sweep.RunAsync(Cancellation)).Sent);
    }

    [Fact]
    public async Task A_relay_that_is_down_for_twelve_hours_lets_the_morning_expire()
    {
        await using var bench = await DeliveryBench.StartAsync();
        var message = (await bench.QueueAsync(1))[0];
        var sweep = bench.Sweep();
        bench.Relay.Answer(_ => new SendOutcome.RelayDown("connection refused"));
        for (var i = 0; i < 12 * 6; i++)
        {
            await sweep.RunAsync(Cancellation);
            bench.Time.Advance(TimeSpan.FromMinutes(10));
        }

        bench.Relay.Script = null;
        Assert.Equal(0, (await sweep.RunAsync(Cancellation)).Sent);
        Assert.Equal(
            (OutboxState.Expired, "connection refused"),
            Of(await bench.RowAsync(message))
        );
    }
}
