using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class DueMorningsContract : StoreContract
{
    // 06:30 in Chicago on this date is 12:30 UTC; the clock stands at 12:00 UTC.
    private static readonly LocalDate Today = new(2026, 11, 25);

    [Fact]
    public async Task A_morning_is_owed_when_its_local_time_comes_near_and_until_it_has_a_row()
    {
        var ann = await SubscribeAsync();
        Assert.Empty(await DueAsync(ahead: 29));

        var due = Assert.Single(await DueAsync(ahead: 30));
        Assert.Equal((Today, Start + Duration.FromMinutes(30)), (due.Date, due.DueAt));
        Assert.Equal($"2026-11-25#{ann.Lawns[0].Id}", due.Key);
        Assert.Equal(ann.Subscriber, due.Subscriber);
        Assert.Equivalent(ann.Lawns[0], due.Lawn, strict: true);

        await Store.Outbox.EnqueueAsync(
            [Samples.Message(ann.Subscriber, due.DueAt, due.Key)],
            Cancellation
        );
        Assert.Empty(await DueAsync(ahead: 30));
        Advance(Duration.FromDays(1));
        Assert.Equal(Today.PlusDays(1), Assert.Single(await DueAsync(ahead: 30)).Date);
    }

    [Fact]
    public async Task Two_lawns_of_one_subscriber_are_owed_a_morning_each()
    {
        var ann = await SubscribeAsync();
        await Store.Subscribers.AddLawnAsync(
            ann.Subscriber.Id,
            Samples.Lawn("America/Denver", new(5, 30)),
            Cancellation
        );

        var due = await DueAsync(ahead: 30);
        Assert.Equal(2, due.Count);
        Assert.Equal(2, due.Select(d => d.Key).Distinct().Count());
        await Store.Outbox.EnqueueAsync(
            [Samples.Message(ann.Subscriber, Now, due[0].Key)],
            Cancellation
        );
        Assert.Equal(due[1].Key, Assert.Single(await DueAsync(ahead: 30)).Key);
    }

    [Fact]
    public async Task A_missed_morning_is_still_owed_for_as_long_as_is_asked()
    {
        await SubscribeAsync();
        Advance(Duration.FromHours(3));
        Assert.Empty(await DueAsync(late: 149));
        Assert.Equal(Today, Assert.Single(await DueAsync(late: 151)).Date);
    }

    [Fact]
    public async Task A_morning_before_the_lawn_was_added_is_not_owed()
    {
        Advance(Duration.FromHours(1));
        await SubscribeAsync();
        Assert.Empty(await DueAsync(late: 600));
    }

    [Fact]
    public async Task Whoever_left_is_owed_nothing()
    {
        var ann = await SubscribeAsync();
        await Store.Subscribers.SetStatusAsync(
            ann.Subscriber.Id,
            SubscriberStatus.Left,
            null,
            Cancellation
        );
        Assert.Empty(await DueAsync(ahead: 30));
        await Store.Subscribers.SetStatusAsync(
            ann.Subscriber.Id,
            SubscriberStatus.Active,
            null,
            Cancellation
        );
        Assert.Single(await DueAsync(ahead: 30));
    }

    [Fact]
    public async Task A_lawn_without_the_morning_message_is_owed_none_and_none_of_the_time_without()
    {
        var without = Samples.Lawn() with { Morning = false };
        var ann = await SubscribeAsync(lawn: without);
        Assert.Empty(await DueAsync(ahead: 30));

        Advance(Duration.FromHours(3));
        await SetAsync(1, without with { Id = ann.Lawns[0].Id, Morning = true });
        Assert.Empty(await DueAsync(late: 600));
        Advance(Duration.FromHours(21));
        Assert.Equal(Today.PlusDays(1), Assert.Single(await DueAsync(ahead: 30)).Date);

        await SetAsync(2, without with { Id = ann.Lawns[0].Id });
        Assert.Empty(await DueAsync(ahead: 30));
        await Store.Deeds.UndoAsync(2, Cancellation);
        Assert.Single(await DueAsync(ahead: 30));

        // What else is changed leaves what is owed as it was.
        Advance(Duration.FromHours(1));
        await SetAsync(3, without with { Id = ann.Lawns[0].Id, Morning = true, Pets = true });
        Assert.Equal(Today.PlusDays(1), Assert.Single(await DueAsync(late: 60)).Date);

        async Task SetAsync(long deed, Lawn lawn) =>
            Assert.True(
                await Store.Deeds.DoAsync(
                    new()
                    {
                        Id = deed,
                        SubscriberId = ann.Subscriber.Id,
                        LawnId = lawn.Id,
                        Changed = lawn,
                    },
                    Cancellation
                )
            );
    }

    [Fact]
    public async Task All_of_many_are_found_across_the_pages()
    {
        for (var i = 0; i < 1001; i++)
        {
            await SubscribeAsync($"s{i}@example.com");
        }

        Assert.Equal(1001, (await DueAsync(ahead: 30)).DistinctBy(d => d.Key).Count());
    }

    [Fact]
    public async Task Those_of_one_time_come_ZIP_code_by_ZIP_code()
    {
        string[] zips = ["78626", "60601", "78627"];
        for (var i = 0; i < 1201; i++)
        {
            var lawn = Samples.Lawn();
            lawn = lawn with { Place = lawn.Place with { Zip = zips[i % zips.Length] } };
            await Store.Subscribers.AddAsync($"s{i}@example.com", lawn, Cancellation);
        }

        var due = await DueAsync(ahead: 30);
        Assert.Equal(1201, due.DistinctBy(d => d.Key).Count());
        Assert.Equal(
            due.OrderBy(d => d.Lawn.Place.Zip, StringComparer.Ordinal)
                .ThenBy(d => d.Lawn.Id)
                .Select(d => d.Key),
            due.Select(d => d.Key)
        );
    }

    private async Task<List<DueMorning>> DueAsync(int ahead = 0, int late = 0)
    {
        var all = new List<DueMorning>();
        await foreach (
            var morning in Store.Subscribers.DueMorningsAsync(
                Now,
                Duration.FromMinutes(ahead),
                Duration.FromMinutes(late),
                Cancellation
            )
        )
        {
            all.Add(morning);
        }

        return all;
    }
}
