using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

/// <content>Ends other than sent, and messages that go back.</content>
public abstract partial class OutboxContract
{
    // R21
    [Fact]
    public async Task After_twelve_hours_of_outage_the_morning_expires_and_nothing_is_sent()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now);
        await Store.Outbox.EnqueueAsync([message], Cancellation);

        Advance(Duration.FromHours(12));

        Assert.Empty(await ClaimAsync());
        Assert.Equal(1, (await SweepAsync()).Expired);
        var row = await RowAsync(message);
        Assert.Equal(OutboxState.Expired, row.State);
        Assert.Contains("window closed", row.LastReply, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_window_that_closes_between_claim_and_sending_expires_the_message()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now, window: Duration.FromMinutes(1));
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        var claimed = Assert.Single(await ClaimAsync());

        Advance(Duration.FromSeconds(61));

        Assert.Equal(SendPermit.Expired, await BeginAsync(claimed));
        Assert.Equal(OutboxState.Expired, (await RowAsync(message)).State);
    }

    // R10
    [Fact]
    public async Task After_the_subscriber_left_nothing_that_waits_or_is_claimed_is_sent()
    {
        var to = (await SubscribeAsync()).Subscriber;
        string[] keys = ["queued", "claimed", "sending"];
        await Store.Outbox.EnqueueAsync(
            [.. keys.Skip(1).Select(k => Samples.Message(to, Now, k))],
            Cancellation
        );
        var held = (await ClaimAsync()).ToDictionary(m => m.Key);
        await BeginAsync(held["sending"]);
        await Store.Outbox.EnqueueAsync([Samples.Message(to, Now, "queued")], Cancellation);

        await Store.Subscribers.SetStatusAsync(
            to.Id,
            SubscriberStatus.Left,
            "asked to leave",
            Cancellation
        );

        Assert.Empty(await ClaimAsync());
        Assert.Equal(SendPermit.Suppressed, await BeginAsync(held["claimed"]));
        Assert.Equal(
            0,
            await Store.Outbox.EnqueueAsync([Samples.Message(to, Now, "new")], Cancellation)
        );
        // The one that was under way at that instant may end either way; a second try is not made.
        Assert.True(await CompleteAsync(held["sending"], OutboxOutcome.Retry("451 later", Now)));
        await SweepAsync();
        Assert.Equal(3, (await Store.Outbox.CountAsync(Cancellation))[OutboxState.Suppressed]);
    }

    [Fact]
    public async Task A_hard_bounce_ends_the_message_and_suppresses_the_subscriber()
    {
        var to = (await SubscribeAsync()).Subscriber;
        await Store.Outbox.EnqueueAsync(
            [Samples.Message(to, Now, "a"), Samples.Message(to, Now + Lease, "b")],
            Cancellation
        );
        var claimed = Assert.Single(await ClaimAsync());
        await BeginAsync(claimed);
        await CompleteAsync(claimed, OutboxOutcome.HardBounce("550 5.1.1 no such user"));

        var counts = await Store.Outbox.CountAsync(Cancellation);
        Assert.Equal((1, 1), (counts[OutboxState.Dead], counts[OutboxState.Suppressed]));
        var after = await Store.Subscribers.FindAsync(to.Email, Cancellation);
        Assert.Equal(SubscriberStatus.Suppressed, after!.Subscriber.Status);
    }

    [Fact]
    public async Task A_retry_waits_for_its_time_and_never_beyond_the_window()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now);
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        var claimed = Assert.Single(await ClaimAsync());
        await BeginAsync(claimed);
        await CompleteAsync(
            claimed,
            OutboxOutcome.Retry("451 4.7.1 greylisted", Now + Duration.FromMinutes(5))
        );

        Assert.Empty(await ClaimAsync());
        Advance(Duration.FromMinutes(5));
        var again = Assert.Single(await ClaimAsync());
        Assert.Equal((2, "451 4.7.1 greylisted"), (again.Attempts, again.LastReply));
        await BeginAsync(again);
        await CompleteAsync(
            again,
            OutboxOutcome.Retry("451 come back tomorrow", message.NotAfter + Duration.Epsilon)
        );
        Assert.Equal(OutboxState.Expired, (await RowAsync(message)).State);
    }

    [Fact]
    public async Task A_message_that_was_not_tried_goes_back_without_an_attempt()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now);
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        for (var i = 0; i < 2 * MaxClaims; i++)
        {
            var claimed = Assert.Single(await ClaimAsync());
            if (i % 2 == 0)
            {
                await BeginAsync(claimed);
            }

            Assert.True(
                await CompleteAsync(claimed, OutboxOutcome.Untried("the relay is down", Now))
            );
            await SweepAsync();
        }

        var row = await RowAsync(message);
        Assert.Equal((OutboxState.Queued, 0), (row.State, row.Attempts));
    }

    [Fact]
    public async Task A_message_that_was_not_tried_and_has_no_time_left_expires_at_once()
    {
        var to = await SubscribeAsync();
        var message = Samples.Message(to.Subscriber, Now);
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        var claimed = Assert.Single(await ClaimAsync());

        var later = message.NotAfter + Duration.FromMinutes(1);
        Assert.True(
            await CompleteAsync(claimed, OutboxOutcome.Untried("the relay is down", later))
        );

        var row = await RowAsync(message);
        Assert.Equal((OutboxState.Expired, "the relay is down"), (row.State, row.LastReply));
    }
}
