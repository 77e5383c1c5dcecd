using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class JoinsContract : StoreContract
{
    private static readonly byte[] Hash = [1, 2, 3];

    [Fact]
    public async Task Who_asks_is_pending_gets_the_request_and_nothing_else_until_confirmed()
    {
        var (standing, who) = await AskAsync();
        Assert.Equal(JoinStanding.Pending, standing);
        await Store.Joins.RecordAsync(Hash, "mail", Confirmation(who!.Subscriber), Cancellation);
        Assert.Equal(
            0,
            await Store.Outbox.EnqueueAsync([Samples.Message(who.Subscriber, Now)], Cancellation)
        );
        Assert.Equal(
            MessageKind.Confirmation,
            Assert
                .Single(
                    await Store.Outbox.ClaimAsync("w", 9, Duration.FromMinutes(5), Cancellation)
                )
                .Kind
        );

        Assert.True(await Store.Joins.ConfirmAsync(who.Subscriber.Id, Hash, [], Cancellation));
        Assert.False(await Store.Joins.ConfirmAsync(who.Subscriber.Id, Hash, [], Cancellation));
        Assert.Equal(JoinStanding.Active, (await AskAsync()).Standing);
        Assert.Equal(
            1,
            await Store.Outbox.EnqueueAsync([Samples.Message(who.Subscriber, Now)], Cancellation)
        );
    }

    [Fact]
    public async Task Asking_again_keeps_the_number_and_takes_the_new_lawn()
    {
        var first = (await AskAsync()).Who!;
        var second = (await AskAsync(Samples.Lawn() with { Grass = GrassKind.TallFescue })).Who!;
        Assert.Equal(first.Subscriber.Id, second.Subscriber.Id);
        Assert.Equal(GrassKind.TallFescue, Assert.Single(second.Lawns).Grass);
    }

    [Fact]
    public async Task Who_comes_back_finds_lawn_and_journal()
    {
        var added = await SubscribeAsync();
        await Store.Journal.AddAsync(
            added.Lawns[0].Id,
            new(0, JournalKind.Mowed, new(2026, 11, 1), 5),
            Cancellation
        );
        await Store.Subscribers.SetStatusAsync(
            added.Subscriber.Id,
            SubscriberStatus.Left,
            null,
            Cancellation
        );
        var back = (await AskAsync(email: added.Subscriber.Email)).Who!;
        Assert.Equal(SubscriberStatus.Pending, back.Subscriber.Status);
        Assert.Equal(added.Lawns[0].Id, Assert.Single(back.Lawns).Id);
        Assert.Single((await Store.Journal.LoadAsync(added.Lawns[0].Id, Cancellation)).Entries);
    }

    [Fact]
    public async Task A_mailbox_that_refuses_mail_is_not_asked()
    {
        var added = await SubscribeAsync();
        await Store.Subscribers.SetStatusAsync(
            added.Subscriber.Id,
            SubscriberStatus.Suppressed,
            "5.1.1",
            Cancellation
        );
        Assert.Equal(
            (JoinStanding.Suppressed, null),
            await AskAsync(email: added.Subscriber.Email)
        );
    }

    [Fact]
    public async Task Requests_are_counted_by_address_network_and_in_all()
    {
        var who = (await AskAsync()).Who!.Subscriber;
        await Store.Joins.RecordAsync(Hash, "192.0.2.0/24", Confirmation(who), Cancellation);
        await Store.Joins.RecordAsync(Hash, "192.0.2.0/24", null, Cancellation);
        await Store.Joins.RecordAsync(new byte[] { 9 }, "192.0.2.0/24", null, Cancellation);
        Assert.Equal(
            new JoinCounts(1, 1, 1, 3, 3),
            await Store.Joins.CountAsync(Hash, "192.0.2.0/24", Cancellation)
        );
        Assert.Equal(
            new JoinCounts(1, 1, 1, 0, 3),
            await Store.Joins.CountAsync(Hash, "mail", Cancellation)
        );
        Advance(Duration.FromHours(2));
        Assert.Equal(
            new JoinCounts(0, 1, 1, 0, 0),
            await Store.Joins.CountAsync(Hash, "192.0.2.0/24", Cancellation)
        );
    }

    [Fact]
    public async Task Who_never_confirms_is_forgotten()
    {
        await AskAsync();
        await SubscribeAsync("stays@example.com");
        Advance(Duration.FromDays(8));
        Assert.Equal(1, await Store.Joins.ForgetAsync(Now - Duration.FromDays(7), Cancellation));
        Assert.Null(await Store.Subscribers.FindAsync("new@example.com", Cancellation));
        Assert.NotNull(await Store.Subscribers.FindAsync("stays@example.com", Cancellation));
    }

    [Fact]
    public async Task An_inbound_message_is_known_by_its_place_and_by_its_id()
    {
        var place = new MailboxPlace("inbox", 7, 12);
        Assert.False(await Store.Inbound.SeenAsync(place, "k", Cancellation));
        await Store.Inbound.RecordAsync(place, "k", "mowed", Cancellation);
        await Store.Inbound.RecordAsync(place, "k", "again", Cancellation);
        await RestartAsync();
        Assert.True(await Store.Inbound.SeenAsync(place, "", Cancellation));
        Assert.True(await Store.Inbound.SeenAsync(place with { Uid = 13 }, "k", Cancellation));
        Assert.False(
            await Store.Inbound.SeenAsync(place with { UidValidity = 8 }, "", Cancellation)
        );
        Advance(Duration.FromDays(100));
        Assert.Equal(1, await Store.Inbound.PruneAsync(Now, Cancellation));
    }

    [Fact]
    public async Task A_suppressed_address_is_known_by_its_hash_alone()
    {
        Assert.False(await Store.Suppressions.HoldsAsync(Hash, Cancellation));
        await Store.Suppressions.AddAsync(Hash, "asked for it", Cancellation);
        await Store.Suppressions.AddAsync(Hash, "again", Cancellation);
        Assert.True(await Store.Suppressions.HoldsAsync(Hash, Cancellation));
    }

    [Fact]
    public async Task One_bounce_a_day_counts_and_old_ones_fade()
    {
        var id = (await SubscribeAsync()).Subscriber.Id;
        var day = new LocalDate(2026, 11, 25);
        Assert.Equal(0.5, await CountAsync(day, 0.5));
        Assert.Equal(1, await CountAsync(day, 1));
        Assert.Equal(1, await CountAsync(day, 0.5));
        Assert.Equal(2, await CountAsync(day.PlusDays(1), 1));
        Assert.Equal(1, await CountAsync(day.PlusDays(40), 1));

        Task<double> CountAsync(LocalDate on, double weight) =>
            Store.Bounces.CountAsync(id, on, weight, on.PlusDays(-30), Cancellation);
    }

    private Task<(JoinStanding Standing, SubscriberLawns? Who)> AskAsync(
        Lawn? lawn = null,
        string email = "new@example.com"
    ) => Store.Joins.AskAsync(email, lawn ?? Samples.Lawn(), Cancellation);

    private OutboxMessage Confirmation(Subscriber who) =>
        Samples.Message(who, Now, "confirm", MessageKind.Confirmation);
}
