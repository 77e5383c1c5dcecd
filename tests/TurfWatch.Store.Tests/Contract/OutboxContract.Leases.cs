using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

/// <content>Leases, fences, unknown ends: workers that slept or died.</content>
public abstract partial class OutboxContract
{
    // R22: a worker that sleeps longer than its lease.
    [Fact]
    public async Task A_worker_paused_beyond_its_lease_sends_nothing_and_writes_nothing()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now);
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        var paused = Assert.Single(await ClaimAsync());

        Advance(Lease);

        Assert.Equal(SendPermit.Lost, await BeginAsync(paused));
        Assert.Equal(1, (await SweepAsync()).Requeued);
        var second = Assert.Single(await ClaimAsync());
        Assert.Equal(SendPermit.Lost, await BeginAsync(paused));
        Assert.Equal(SendPermit.Granted, await BeginAsync(second));
        Assert.False(await CompleteAsync(paused, OutboxOutcome.Sent("from the paused one")));
        Assert.False(
            await CompleteAsync(paused, OutboxOutcome.Untried("from the paused one", Now))
        );
        Assert.True(await CompleteAsync(second, OutboxOutcome.Sent("250 ok")));
        Assert.Equal("250 ok", (await RowAsync(message)).LastReply);
    }

    [Fact]
    public async Task A_worker_paused_in_its_transaction_finds_the_row_settled()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now);
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        var paused = Assert.Single(await ClaimAsync());
        await BeginAsync(paused);

        Advance(Lease);
        Assert.Equal(1, (await SweepAsync()).Unknown);

        Assert.False(await CompleteAsync(paused, OutboxOutcome.Sent("250 too late")));
        Assert.Equal(OutboxState.Unknown, (await RowAsync(message)).State);
    }

    // Fault T5: the lease is long over, but the sender is alive and will tell the end.
    [Theory]
    [InlineData(MessageKind.Morning)]
    [InlineData(MessageKind.Alert)]
    public async Task What_the_caller_itself_is_sending_is_left_to_it(MessageKind kind)
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now, kind: kind);
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        var asleep = Assert.Single(await ClaimAsync());
        await BeginAsync(asleep);

        Advance(Lease);
        Assert.Equal(OutboxSweep.None, await SweepAsync(asleep.Id));

        Assert.True(await CompleteAsync(asleep, OutboxOutcome.Sent("250 ok")));
        Assert.Equal(OutboxState.Sent, (await RowAsync(message)).State);
    }

    [Theory]
    [InlineData(MessageKind.Morning, 1)]
    [InlineData(MessageKind.Digest, 1)]
    [InlineData(MessageKind.Alert, 2)]
    [InlineData(MessageKind.Test, 2)]
    public async Task An_unknown_end_is_tried_again_once_or_never_by_kind(
        MessageKind kind,
        int tries
    )
    {
        foreach (var lapse in new[] { true, false })
        {
            var to = (await SubscribeAsync($"{kind}{lapse}@example.com")).Subscriber;
            var message = Samples.Message(to, Now, kind: kind);
            await Store.Outbox.EnqueueAsync([message], Cancellation);

            var begun = 0;
            for (var i = 0; i < 4; i++)
            {
                foreach (var claimed in await ClaimAsync())
                {
                    Assert.Equal(message.MessageId, claimed.MessageId);
                    Assert.Equal(message.Content, claimed.Content);
                    Assert.Equal(SendPermit.Granted, await BeginAsync(claimed));
                    begun++;
                    if (!lapse)
                    {
                        await CompleteAsync(claimed, OutboxOutcome.Unknown("no reply to the dot"));
                    }
                }

                Advance(Lease);
                await SweepAsync();
            }

            Assert.Equal(tries, begun);
            Assert.Equal(tries > 1, OutboxPolicy.ResendsUnknown(kind));
            Assert.Equal(OutboxState.Unknown, (await RowAsync(message)).State);
        }
    }

    // R20, P8: as if the process died in each claim.
    [Fact]
    public async Task A_message_that_kills_every_process_is_dead_after_its_claims_and_harms_no_other()
    {
        var to = (await SubscribeAsync()).Subscriber;
        await Store.Outbox.EnqueueAsync(
            [.. Enumerable.Range(0, 30).Select(i => Samples.Message(to, Now, $"k{i:00}"))],
            Cancellation
        );

        // 'k10' kills the worker on touch: what is behind it in the same batch is lost with it.
        for (var run = 0; run < 100; run++)
        {
            await SweepAsync();
            foreach (var claimed in await ClaimAsync(10))
            {
                if (claimed.Key == "k10")
                {
                    break;
                }

                if (await BeginAsync(claimed) == SendPermit.Granted)
                {
                    await CompleteAsync(claimed, OutboxOutcome.Sent("250 ok"));
                }
            }

            Advance(Lease);
        }

        var counts = await Store.Outbox.CountAsync(Cancellation);
        Assert.Equal((29, 1), (counts[OutboxState.Sent], counts[OutboxState.Dead]));
        var dead = await Store.Outbox.FindAsync(to.Id, MessageKind.Morning, "k10", Cancellation);
        Assert.Equal((OutboxState.Dead, MaxClaims), (dead!.State, dead.Attempts));
        Assert.Contains(
            $"given up after {MaxClaims} claims",
            dead.LastReply,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task What_a_dead_worker_held_is_claimed_again_or_settled_when_its_lease_is_over()
    {
        var to = (await SubscribeAsync()).Subscriber;
        await FillInAllStatesAsync(to);

        await RestartAsync();
        Advance(Lease);
        await SweepAsync();

        await AssertSettledAsync();
    }

    /// <summary>One claimed, a morning and an alert being sent, and one sent.</summary>
    protected async Task FillInAllStatesAsync(Subscriber to)
    {
        await Store.Outbox.EnqueueAsync(
            [
                Samples.Message(to, Now, "claimed"),
                Samples.Message(to, Now, "sending"),
                Samples.Message(to, Now, "alert", MessageKind.Alert),
                Samples.Message(to, Now, "sent"),
            ],
            Cancellation
        );
        var held = (await ClaimAsync()).ToDictionary(m => m.Key);
        await BeginAsync(held["sending"]);
        await BeginAsync(held["alert"]);
        await BeginAsync(held["sent"]);
        await CompleteAsync(held["sent"], OutboxOutcome.Sent("250 ok"));
    }

    /// <summary>As after the death of whoever did <see cref="FillInAllStatesAsync"/>.</summary>
    protected async Task AssertSettledAsync()
    {
        var states = await StatesAsync();
        Assert.Equal(OutboxState.Queued, states["claimed"]);
        Assert.Equal(OutboxState.Unknown, states["sending"]);
        Assert.Equal(OutboxState.Queued, states["alert"]);
        Assert.Equal(OutboxState.Sent, states["sent"]);
    }

    protected async Task<Dictionary<string, OutboxState>> StatesAsync()
    {
        var states = new Dictionary<string, OutboxState>();
        await foreach (var row in Store.Outbox.ListAsync(Cancellation))
        {
            states[row.Key] = row.State;
        }

        return states;
    }
}
