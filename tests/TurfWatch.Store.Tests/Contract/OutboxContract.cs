using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class OutboxContract : StoreContract
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
