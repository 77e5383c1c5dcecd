using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

/// <summary>The way of a message from the queue to its end.</summary>
public abstract partial class OutboxContract : StoreContract
{
    private static readonly Duration Lease = Duration.FromMinutes(2);
    private const int MaxClaims = 5;

    [Fact]
    public async Task A_message_goes_from_queued_to_sent_with_the_relays_answer()
    {
        var to = await SubscribeAsync();
        var message = Samples.Message(to.Subscriber, Now);
        Assert.Equal(1, await Store.Outbox.EnqueueAsync([message], Cancellation));

        var claimed = Assert.Single(await ClaimAsync());
        Assert.Equal(message.Content, claimed.Content);
        Assert.Equal(
            (OutboxState.Claimed, 1, 1L),
            (claimed.State, claimed.Attempts, claimed.Fence)
        );
        Assert.Equal(SendPermit.Granted, await BeginAsync(claimed));
        Assert.True(await CompleteAsync(claimed, OutboxOutcome.Sent("250 2.0.0 queued as 4711")));

        var row = await RowAsync(message);
        Assert.Equal((OutboxState.Sent, "250 2.0.0 queued as 4711"), (row.State, row.LastReply));
        Assert.Equal(
            row with
            {
                Content = message.Content,
            },
            message with
            {
                Id = row.Id,
                State = row.State,
                Attempts = 1,
                Fence = 1,
                LastReply = row.LastReply,
                Content = message.Content,
            }
        );
        Assert.Empty(await ClaimAsync());
    }

    // R16
    [Fact]
    public async Task Two_workers_that_race_1000_times_make_one_row_each_time()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var made = 0;
        for (var i = 0; i < 1000; i++)
        {
            var message = Samples.Message(to, Now, $"2026-11-25#{i}");
            var both = await Task.WhenAll(
                Task.Run(() => Store.Outbox.EnqueueAsync([message], Cancellation)),
                Task.Run(() => Store.Outbox.EnqueueAsync([message], Cancellation))
            );
            Assert.Equal(1, both.Sum());
            made++;
        }

        Assert.Equal(made, (await Store.Outbox.CountAsync(Cancellation))[OutboxState.Queued]);
    }

    [Fact]
    public async Task Workers_that_claim_at_once_never_hold_the_same_message()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var messages = Enumerable
            .Range(0, 200)
            .Select(i => Samples.Message(to, Now, $"k{i}"))
            .ToList();
        await Store.Outbox.EnqueueAsync(messages, Cancellation);

        var claims = await Task.WhenAll(
            Enumerable
                .Range(0, 40)
                .Select(w =>
                    Task.Run(() => Store.Outbox.ClaimAsync($"w{w}", 7, Lease, Cancellation))
                )
        );

        var ids = claims.SelectMany(c => c).Select(m => m.Id).ToList();
        Assert.Equal(200, ids.Count);
        Assert.Equal(200, ids.Distinct().Count());
    }

    [Fact]
    public async Task Nothing_is_claimed_before_its_time()
    {
        var to = (await SubscribeAsync()).Subscriber;
        await Store.Outbox.EnqueueAsync(
            [Samples.Message(to, Now + Duration.FromMinutes(10))],
            Cancellation
        );

        Assert.Null(await Store.Outbox.OldestDueAsync(Cancellation));
        Assert.Empty(await ClaimAsync());
        Advance(Duration.FromMinutes(10));
        Assert.Equal(Now, await Store.Outbox.OldestDueAsync(Cancellation));
        Assert.Single(await ClaimAsync());
    }

    [Fact]
    public async Task Messages_that_are_begun_and_settled_at_once_are_judged_each_by_itself()
    {
        var stays = (await SubscribeAsync()).Subscriber;
        var leaves = (await SubscribeAsync("leaves@example.com")).Subscriber;
        var keys = Enumerable.Range(0, 40).Select(i => $"k{i:00}").ToList();
        await Store.Outbox.EnqueueAsync(
            [
                .. keys.Select(k => Samples.Message(stays, Now, k)),
                Samples.Message(leaves, Now, "leaves"),
                Samples.Message(stays, Now, "closes", window: Duration.FromSeconds(10)),
                Samples.Message(stays, Now, "claimed again"),
            ],
            Cancellation
        );
        var claimed = (await ClaimAsync()).ToDictionary(m => m.Key);
        var old = claimed["claimed again"];
        Assert.True(await CompleteAsync(old, OutboxOutcome.Untried("the relay is down", Now)));
        var anew = Assert.Single(await ClaimAsync());
        Advance(Duration.FromSeconds(11));
        await Store.Subscribers.SetStatusAsync(
            leaves.Id,
            SubscriberStatus.Left,
            "asked to leave",
            Cancellation
        );

        OutboxMessage[] all = [.. claimed.Values, anew];
        var begun = await Task.WhenAll(all.Select(m => Task.Run(() => BeginAsync(m))));
        var permits = all.Zip(begun).ToDictionary(b => b.First, b => b.Second);

        Assert.All(keys, k => Assert.Equal(SendPermit.Granted, permits[claimed[k]]));
        Assert.Equal(SendPermit.Suppressed, permits[claimed["leaves"]]);
        Assert.Equal(SendPermit.Expired, permits[claimed["closes"]]);
        Assert.Equal((SendPermit.Lost, SendPermit.Granted), (permits[old], permits[anew]));

        var ended = await Task.WhenAll(
            all.Select(m =>
                Task.Run(() => CompleteAsync(m, OutboxOutcome.Sent($"250 {m.Key} {m.Fence}")))
            )
        );

        Assert.Equal([.. all.Select(m => permits[m] == SendPermit.Granted)], ended);
        foreach (var key in keys)
        {
            var row = await RowAsync(claimed[key]);
            Assert.Equal((OutboxState.Sent, $"250 {key} 1"), (row.State, row.LastReply));
        }

        Assert.Equal("250 claimed again 2", (await RowAsync(anew)).LastReply);
        var counts = await Store.Outbox.CountAsync(Cancellation);
        Assert.Equal(
            (41, 1, 1),
            (counts[OutboxState.Sent], counts[OutboxState.Suppressed], counts[OutboxState.Expired])
        );
    }

    [Fact]
    public async Task Pruning_drops_content_and_address_but_keeps_the_key()
    {
        var to = (await SubscribeAsync()).Subscriber;
        var message = Samples.Message(to, Now);
        var waiting = Samples.Message(to, Now + Duration.FromDays(40), "later");
        await Store.Outbox.EnqueueAsync([message, waiting], Cancellation);
        var claimed = Assert.Single(await ClaimAsync());
        await BeginAsync(claimed);
        await CompleteAsync(claimed, OutboxOutcome.Sent("250 ok"));

        Assert.Equal(0, await Store.Outbox.PruneAsync(Now, Cancellation));
        Advance(Duration.FromDays(30));
        Assert.Equal(1, await Store.Outbox.PruneAsync(Now, Cancellation));

        var row = await RowAsync(message);
        Assert.Equal(("", 0), (row.Recipient, row.Content.Length));
        Assert.NotEmpty((await RowAsync(waiting)).Content);
        Assert.Equal(0, await Store.Outbox.EnqueueAsync([message], Cancellation));
    }

    [Fact]
    public async Task A_missed_morning_is_on_record_once()
    {
        var to = await SubscribeAsync();
        var missed = new DueMorning(
            to.Subscriber,
            to.Lawns[0],
            new(2026, 11, 25),
            Now - Duration.FromHours(6)
        );
        var notAfter = Now - Duration.FromHours(3);

        Assert.True(
            await Store.Outbox.RecordMissedAsync(missed, notAfter, "not running", Cancellation)
        );
        Assert.False(
            await Store.Outbox.RecordMissedAsync(missed, notAfter, "not running", Cancellation)
        );

        var row = await Store.Outbox.FindAsync(
            to.Subscriber.Id,
            MessageKind.Morning,
            $"2026-11-25#{to.Lawns[0].Id}",
            Cancellation
        );
        Assert.Equal((OutboxState.Expired, "not running"), (row!.State, row.LastReply));
    }

    private Task<IReadOnlyList<OutboxMessage>> ClaimAsync(int batch = 50) =>
        Store.Outbox.ClaimAsync("worker", batch, Lease, Cancellation);

    private Task<SendPermit> BeginAsync(OutboxMessage claimed) =>
        Store.Outbox.BeginSendingAsync(claimed, Lease, Cancellation);

    private Task<bool> CompleteAsync(OutboxMessage claimed, OutboxOutcome outcome) =>
        Store.Outbox.CompleteAsync(claimed, outcome, Cancellation);

    private Task<OutboxSweep> SweepAsync(params long[] underWay) =>
        Store.Outbox.SweepAsync(MaxClaims, underWay, Cancellation);

    private async Task<OutboxMessage> RowAsync(OutboxMessage message) =>
        await Store.Outbox.FindAsync(message.SubscriberId, message.Kind, message.Key, Cancellation)
        ?? throw new InvalidOperationException("no such row");
}
