using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

/// <summary>Holding all mail, letting it go, and an operator's orders for single messages.</summary>
public abstract class HoldContract : StoreContract
{
    private static readonly Duration Lease = Duration.FromMinutes(1);

    [Fact]
    public async Task Nothing_is_claimed_or_begun_while_it_is_held()
    {
        var ann = (await SubscribeAsync()).Subscriber;
        await EnqueueAsync(Samples.Message(ann, Now, "a#1"), Samples.Message(ann, Now, "b#1"));
        var claimed = Assert.Single(await Store.Outbox.ClaimAsync("w", 1, Lease, Cancellation));

        Assert.True(await Store.Outbox.HoldAsync("a reason", null, Cancellation));
        Assert.False(await Store.Outbox.HoldAsync("another", null, Cancellation));
        Assert.Equal(new(Now, "a reason"), await Store.Outbox.HeldAsync(Cancellation));
        Assert.Empty(await Store.Outbox.ClaimAsync("w", 9, Lease, Cancellation));
        Assert.Equal(
            SendPermit.Held,
            await Store.Outbox.BeginSendingAsync(claimed, Lease, Cancellation)
        );
        await RestartAsync();
        Assert.Empty(await Store.Outbox.ClaimAsync("w", 9, Lease, Cancellation));

        Assert.Equal(new(0, 0, 0, 2), await Store.Outbox.ReleaseAsync(null, Cancellation));
        Assert.Null(await Store.Outbox.ReleaseAsync(null, Cancellation));
        Assert.Equal(2, (await Store.Outbox.ClaimAsync("w", 9, Lease, Cancellation)).Count);
    }

    [Fact]
    public async Task A_released_copy_settles_what_another_service_may_have_sent()
    {
        var ann = (await SubscribeAsync()).Subscriber;
        var until = Now + Duration.FromHours(1);
        await EnqueueAsync(
            Samples.Message(ann, Now, "due"),
            Samples.Message(ann, Now, "due alert", MessageKind.Alert),
            Samples.Message(ann, Now, "closed alert", MessageKind.Alert, Duration.FromHours(1)),
            Samples.Message(ann, until + Lease, "later")
        );
        Assert.True(await Store.Outbox.HoldAsync("a copy", Now, Cancellation));
        Advance(Duration.FromHours(2));
        // A copy is left as it is: nothing is put right before the release says how.
        Assert.Equal(
            OutboxSweep.None,
            await Store.Outbox.SweepAsync(maxClaims: 9, [], Cancellation)
        );

        Assert.Equal(new(1, 1, 1, 2), await Store.Outbox.ReleaseAsync(until, Cancellation));
        Assert.Equal(OutboxState.Unknown, await StateAsync("due", MessageKind.Morning));
        Assert.Equal(OutboxState.Expired, await StateAsync("closed alert", MessageKind.Alert));
        Assert.Equal(
            ["due alert", "later"],
            (await Store.Outbox.ClaimAsync("w", 9, Lease, Cancellation))
                .Select(m => m.Key)
                .Order(StringComparer.Ordinal)
        );

        async Task<OutboxState> StateAsync(string key, MessageKind kind) =>
            (await Store.Outbox.FindAsync(ann.Id, kind, key, Cancellation))!.State;
    }

    [Fact]
    public async Task Single_messages_are_found_cancelled_and_tried_again()
    {
        var ann = (await SubscribeAsync()).Subscriber;
        await EnqueueAsync(Samples.Message(ann, Now, "a#1"), Samples.Message(ann, Now, "b#1"));
        var search = new OutboxSearch(
            [OutboxState.Queued],
            MessageKind.Morning,
            ann.Id,
            Now,
            Now + Lease
        );
        var found = await Store.Outbox.SearchAsync(search, Cancellation).ToListAsync(Cancellation);
        Assert.Equal(["a#1", "b#1"], found.Select(m => m.Key));
        Assert.Empty(found[0].Content);
        Assert.NotEmpty(
            (await Store.Outbox.OpenFileAsync(found[0].Id, Cancellation))!.Message.Content
        );

        Assert.True(await Store.Outbox.CancelAsync(found[0].Id, "no", Cancellation));
        Assert.False(await Store.Outbox.CancelAsync(found[0].Id, "no", Cancellation));
        Assert.Equal(
            RetryAnswer.Queued,
            await Store.Outbox.RetryAsync(found[0].Id, evenIfItArrived: false, Cancellation)
        );
        var claimed = await Store.Outbox.ClaimAsync("w", 9, Lease, Cancellation);
        Assert.Equal(2, claimed.Count);
        Assert.Equal(
            RetryAnswer.UnderWay,
            await Store.Outbox.RetryAsync(found[0].Id, evenIfItArrived: true, Cancellation)
        );
        await Store.Outbox.BeginSendingAsync(claimed[1], Lease, Cancellation);
        await Store.Outbox.CompleteAsync(
            claimed[1],
            OutboxOutcome.Unknown("no answer"),
            Cancellation
        );
        Assert.Equal(
            RetryAnswer.MayHaveArrived,
            await Store.Outbox.RetryAsync(claimed[1].Id, evenIfItArrived: false, Cancellation)
        );
        Assert.Equal(
            RetryAnswer.Queued,
            await Store.Outbox.RetryAsync(claimed[1].Id, evenIfItArrived: true, Cancellation)
        );
        Assert.True((await Store.Outbox.OpenFileAsync(claimed[1].Id, Cancellation))!.SentAgain);
        Assert.Equal(
            RetryAnswer.Absent,
            await Store.Outbox.RetryAsync(4711, evenIfItArrived: false, Cancellation)
        );
    }

    private Task<int> EnqueueAsync(params OutboxMessage[] messages) =>
        Store.Outbox.EnqueueAsync(messages, Cancellation);
}
