using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class DeedsContract : StoreContract
{
    private static readonly LocalDate Today = new(2026, 11, 25);

    [Fact]
    public async Task A_deed_is_done_once_with_all_its_parts_and_taken_back_with_all_of_them()
    {
        var (who, lawn) = await OwnerAsync();
        var old = await Store.Journal.AddAsync(lawn.Id, Mowed(5), Cancellation);
        var deed = new Deed
        {
            Id = 77,
            SubscriberId = who.Id,
            LawnId = lawn.Id,
            Adds = [Mowed(6), new(0, JournalKind.Fed, Today, 2.4) { PotashGM2 = 1.5 }],
            Removes = [old.Id],
            Changed = lawn with { MowingHeightCm = 7 },
            Messages = [Receipt(who)],
        };
        Assert.True(await Store.Deeds.DoAsync(deed, Cancellation));
        Assert.False(await Store.Deeds.DoAsync(deed, Cancellation));
        await RestartAsync();

        var record = await Store.Journal.LoadAsync(lawn.Id, Cancellation);
        Assert.Equal([6, 2.4], record.Entries.Select(e => e.Amount!.Value).OrderDescending());
        Assert.Equal(7, (await Store.Lawns.FindAsync(lawn.Id, Cancellation))!.Lawn.MowingHeightCm);
        Assert.NotNull(
            await Store.Outbox.FindAsync(who.Id, MessageKind.Receipt, "r", Cancellation)
        );
        Assert.Equal(77, await Store.Deeds.LastAsync(who.Id, Start, Cancellation));

        Assert.True(await Store.Deeds.UndoAsync(77, Cancellation));
        Assert.False(await Store.Deeds.UndoAsync(77, Cancellation));
        record = await Store.Journal.LoadAsync(lawn.Id, Cancellation);
        Assert.Equal([5.0], record.Entries.Select(e => e.Amount!.Value));
        Assert.Null((await Store.Lawns.FindAsync(lawn.Id, Cancellation))!.Lawn.MowingHeightCm);
        Assert.Null(await Store.Deeds.LastAsync(who.Id, Start, Cancellation));
    }

    [Fact]
    public async Task A_stranger_touches_neither_lawn_nor_journal()
    {
        var (_, lawn) = await OwnerAsync();
        var entry = await Store.Journal.AddAsync(lawn.Id, Mowed(5), Cancellation);
        var stranger = (await SubscribeAsync("eve@example.com")).Subscriber;
        Assert.False(
            await Store.Deeds.DoAsync(
                new()
                {
                    Id = 1,
                    SubscriberId = stranger.Id,
                    LawnId = lawn.Id,
                    Adds = [Mowed(1)],
                },
                Cancellation
            )
        );
        Assert.False(
            await Store.Deeds.DoAsync(
                new()
                {
                    Id = 2,
                    SubscriberId = stranger.Id,
                    Changed = lawn with { Irrigated = true },
                },
                Cancellation
            )
        );
        var own = (await Store.Subscribers.FindAsync("eve@example.com", Cancellation))!.Lawns[0];
        Assert.True(
            await Store.Deeds.DoAsync(
                new()
                {
                    Id = 3,
                    SubscriberId = stranger.Id,
                    LawnId = own.Id,
                    Removes = [entry.Id],
                },
                Cancellation
            )
        );
        Assert.Single((await Store.Journal.LoadAsync(lawn.Id, Cancellation)).Entries);
    }

    [Fact]
    public async Task Leaving_stops_what_waits_but_the_receipt_goes_out_and_undo_brings_back()
    {
        var (who, _) = await OwnerAsync();
        await Store.Outbox.EnqueueAsync([Samples.Message(who, Now)], Cancellation);
        Assert.True(
            await Store.Deeds.DoAsync(
                new()
                {
                    Id = 5,
                    SubscriberId = who.Id,
                    Status = SubscriberStatus.Left,
                    Reason = "by answer",
                    Messages = [Receipt(who)],
                },
                Cancellation
            )
        );
        var claimed = await Store.Outbox.ClaimAsync("w", 10, Duration.FromMinutes(5), Cancellation);
        Assert.Equal(MessageKind.Receipt, Assert.Single(claimed).Kind);
        Assert.Equal(
            SendPermit.Granted,
            await Store.Outbox.BeginSendingAsync(claimed[0], Duration.FromMinutes(5), Cancellation)
        );

        Assert.True(await Store.Deeds.UndoAsync(5, Cancellation));
        Assert.Equal(SubscriberStatus.Active, await StatusAsync(who));
    }

    [Fact]
    public async Task Undo_does_not_wake_a_mailbox_that_has_refused_since()
    {
        var (who, _) = await OwnerAsync();
        await Store.Deeds.DoAsync(
            new()
            {
                Id = 6,
                SubscriberId = who.Id,
                Status = SubscriberStatus.Left,
            },
            Cancellation
        );
        await Store.Subscribers.SetStatusAsync(
            who.Id,
            SubscriberStatus.Suppressed,
            "5.1.1",
            Cancellation
        );
        Assert.True(await Store.Deeds.UndoAsync(6, Cancellation));
        Assert.Equal(SubscriberStatus.Suppressed, await StatusAsync(who));
    }

    [Fact]
    public async Task A_pause_stops_what_waits_and_what_would_be_due_until_its_day()
    {
        var (who, lawn) = await OwnerAsync();
        await Store.Outbox.EnqueueAsync([Samples.Message(who, Now)], Cancellation);
        await Store.Deeds.DoAsync(
            new()
            {
                Id = 8,
                SubscriberId = who.Id,
                PausedUntil = Today.PlusDays(3),
            },
            Cancellation
        );
        Assert.Empty(await Store.Outbox.ClaimAsync("w", 10, Duration.FromMinutes(5), Cancellation));
        Assert.Equal(
            Today.PlusDays(3),
            (await Store.Lawns.FindAsync(lawn.Id, Cancellation))!.PausedUntil
        );

        Advance(Duration.FromDays(2));
        Assert.Empty(await DueAsync());
        Advance(Duration.FromDays(1));
        Assert.Equal(Today.PlusDays(3), Assert.Single(await DueAsync()).Date);
    }

    private async Task<List<DueMorning>> DueAsync()
    {
        var due = new List<DueMorning>();
        await foreach (
            var morning in Store.Subscribers.DueMorningsAsync(
                Now,
                Duration.FromHours(12),
                Duration.FromHours(11),
                Cancellation
            )
        )
        {
            due.Add(morning);
        }

        return due;
    }

    private async Task<SubscriberStatus> StatusAsync(Subscriber who) =>
        (await Store.Subscribers.FindAsync(who.Email, Cancellation))!.Subscriber.Status;

    private async Task<(Subscriber Who, Lawn Lawn)> OwnerAsync()
    {
        var added = await SubscribeAsync();
        return (added.Subscriber, added.Lawns[0]);
    }

    private static JournalEntry Mowed(double cm) => new(0, JournalKind.Mowed, Today, cm);

    private OutboxMessage Receipt(Subscriber who) =>
        Samples.Message(who, Now, "r", MessageKind.Receipt);
}
