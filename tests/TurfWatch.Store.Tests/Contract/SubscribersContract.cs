using System.Reflection;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class SubscribersContract : StoreContract
{
    [Fact]
    public async Task The_address_of_a_calendar_is_counted_for_each_lawn_alone()
    {
        var ann = await SubscribeAsync();
        var other = await Store.Subscribers.AddLawnAsync(
            ann.Subscriber.Id,
            Samples.Lawn(),
            Cancellation
        );
        await Store.Lawns.RenewCalendarAsync(ann.Lawns[0].Id, Cancellation);
        await Store.Lawns.RenewCalendarAsync(ann.Lawns[0].Id, Cancellation);
        await Store.Lawns.RenewCalendarAsync(999, Cancellation);

        await RestartAsync();
        Assert.Equal(2, (await Store.Lawns.FindAsync(ann.Lawns[0].Id, Cancellation))!.Calendar);
        Assert.Equal(0, (await Store.Lawns.FindAsync(other.Id, Cancellation))!.Calendar);
    }

    [Fact]
    public async Task An_address_is_kept_as_typed_but_for_its_domain_and_is_found_in_any_case()
    {
        var added = await SubscribeAsync("Ann.Lee+lawn@Example.COM");
        Assert.Equal("Ann.Lee+lawn@example.com", added.Subscriber.Email);

        Assert.Null(
            await Store.Subscribers.AddAsync(
                "ann.lee+LAWN@example.com",
                Samples.Lawn(),
                Cancellation
            )
        );
        var found = await Store.Subscribers.FindAsync("ANN.LEE+lawn@example.com", Cancellation);
        Assert.Equal(added.Subscriber, found!.Subscriber);
        Assert.Null(await Store.Subscribers.FindAsync("bob@example.com", Cancellation));
    }

    /// <summary>Every member of a lawn is set to something else than its default, so that a forgotten one shows.</summary>
    [Fact]
    public async Task A_lawn_comes_back_whole()
    {
        var lawn = new Lawn
        {
            Id = 0,
            Name = "Behind the house",
            Place = new("00501", "Holtsville", "NY", 40.8152, -73.0455, "America/Indiana/Knox"),
            Grass = GrassKind.Bermuda,
            Overseed = GrassKind.PerennialRyegrass,
            AreaM2 = 312.5,
            MowingHeightCm = 2.54,
            Soil = SoilTexture.ClayLoam,
            Irrigated = true,
            Shade = Shade.Partial,
            MessageTime = new(5, 45, 30),
            MowFrom = new(8, 15),
            MowUntil = new(19, 30),
            MowDays = [IsoDayOfWeek.Saturday, IsoDayOfWeek.Sunday],
            MowingTime = Duration.FromMinutes(45),
            Units = UnitSystem.Metric,
            Morning = false,
            DigestDay = null,
            Alerts = false,
            WaterDays = [IsoDayOfWeek.Tuesday],
            SprinklerMmH = 12.5,
            Fertilizer = new(16, 4, 8),
            Pets = true,
            SoilTest = new() { Date = new(2026, 2, 3), Ph = 7.9 },
        };
        var plain = new Lawn { Place = Samples.Lawn().Place, Grass = GrassKind.StAugustine };
        foreach (
            var member in typeof(Lawn)
                .GetProperties(BindingFlags.Public | BindingFlags.Instance)
                .Where(p => p.CanWrite && p.Name != nameof(Lawn.Id))
        )
        {
            Assert.False(
                Equals(member.GetValue(lawn), member.GetValue(plain)),
                $"give {member.Name} a value of its own in this test"
            );
        }

        var added = await SubscribeAsync(lawn: lawn);
        var second = await Store.Subscribers.AddLawnAsync(added.Subscriber.Id, plain, Cancellation);

        await RestartAsync();
        var found = await Store.Subscribers.FindAsync(added.Subscriber.Email, Cancellation);
        Assert.Equal(2, found!.Lawns.Length);
        Assert.Equivalent(lawn with { Id = added.Lawns[0].Id }, found.Lawns[0], strict: true);
        Assert.Equivalent(second, found.Lawns[1], strict: true);
    }

    [Fact]
    public async Task A_lawn_in_an_unknown_zone_is_refused_with_the_name_and_the_cure()
    {
        var lawn = Samples.Lawn("America/Springfield");
        var e = await Assert.ThrowsAsync<ArgumentException>(() => SubscribeAsync(lawn: lawn));
        Assert.StartsWith(
            "'America/Springfield' is not a time zone; write an IANA name such as America/Chicago",
            e.Message,
            StringComparison.Ordinal
        );
        Assert.Null(await Store.Subscribers.FindAsync("ann@example.com", Cancellation));
    }

    [Fact]
    public async Task The_list_is_read_page_by_page_in_order()
    {
        var expected = new List<string>();
        for (var i = 0; i < 1203; i++)
        {
            expected.Add((await SubscribeAsync($"s{i}@example.com")).Subscriber.Email);
        }

        var listed = new List<string>();
        await foreach (var entry in Store.Subscribers.ListAsync(Cancellation))
        {
            Assert.Single(entry.Lawns);
            listed.Add(entry.Subscriber.Email);
        }

        Assert.Equal(expected, listed);
    }

    [Fact]
    public async Task Removing_a_subscriber_takes_address_lawns_and_journal_and_leaves_the_record()
    {
        var ann = await SubscribeAsync();
        var message = Samples.Message(ann.Subscriber, Now);
        await Store.Outbox.EnqueueAsync([message], Cancellation);
        await Store.Journal.AddAsync(
            ann.Lawns[0].Id,
            new(0, JournalKind.Mowed, new(2026, 11, 20), 3.8),
            Cancellation
        );

        Assert.True(
            await Store.Dossiers.EraseAsync(ann.Subscriber.Id, default, default, null, Cancellation)
        );
        Assert.False(
            await Store.Dossiers.EraseAsync(ann.Subscriber.Id, default, default, null, Cancellation)
        );

        Assert.Null(await Store.Subscribers.FindAsync(ann.Subscriber.Email, Cancellation));
        Assert.Empty((await Store.Journal.LoadAsync(ann.Lawns[0].Id, Cancellation)).Entries);
        var row = await Store.Outbox.FindAsync(
            ann.Subscriber.Id,
            message.Kind,
            message.Key,
            Cancellation
        );
        Assert.Equal(
            (OutboxState.Suppressed, "", 0),
            (row!.State, row.Recipient, row.Content.Length)
        );
        // The number is not given away again: an old key can never hold back someone else's message.
        Assert.NotEqual(ann.Subscriber.Id, (await SubscribeAsync()).Subscriber.Id);
    }

    [Fact]
    public async Task All_that_is_held_of_a_person_is_read_at_once_and_erased_at_once()
    {
        var ann = await SubscribeAsync();
        byte[] asked = [1, 2, 3];
        byte[] marked = [4, 5, 6];
        await Store.Outbox.EnqueueAsync([Samples.Message(ann.Subscriber, Now)], Cancellation);
        await Store.Joins.RecordAsync(asked, "192.0.2.0/24", null, Cancellation);
        await Store.Bounces.CountAsync(
            ann.Subscriber.Id,
            new(2026, 11, 20),
            0.5,
            new(2026, 11, 1),
            Cancellation
        );
        var deed = new Deed
        {
            Id = Deed.DrawId(),
            SubscriberId = ann.Subscriber.Id,
            LawnId = ann.Lawns[0].Id,
            Adds = [new(0, JournalKind.Mowed, new(2026, 11, 20), 3.8)],
        };
        Assert.True(await Store.Deeds.DoAsync(deed, Cancellation));

        var held = await Store.Dossiers.OfAsync(ann.Subscriber.Id, asked, marked, Cancellation);

        Assert.Equal(ann.Subscriber, held!.Subscriber);
        Assert.Single(Assert.Single(held.Lawns).Journal);
        Assert.Null(Assert.Single(held.Deeds).UndoneAt);
        Assert.Single(held.Messages);
        Assert.Equal(0.5, Assert.Single(held.Bounces).Weight);
        Assert.False(Assert.Single(held.Requests).Sent);
        Assert.Null(held.Suppressed);

        await Store.Dossiers.EraseAsync(ann.Subscriber.Id, asked, marked, "asked", Cancellation);
        Assert.Null(await Store.Dossiers.OfAsync(ann.Subscriber.Id, asked, marked, Cancellation));
        Assert.True(await Store.Suppressions.HoldsAsync(marked, Cancellation));
    }

    // The worst of a day counts, whichever comes first.
    [Theory]
    [InlineData(0.5, 1)]
    [InlineData(1, 0.5)]
    public async Task Of_the_bounces_of_one_day_the_worst_counts(double first, double second)
    {
        var ann = await SubscribeAsync();
        foreach (var weight in new[] { first, second })
        {
            await CountAsync(weight);
        }

        Assert.Equal(1, await CountAsync(0.5));

        Task<double> CountAsync(double weight) =>
            Store.Bounces.CountAsync(
                ann.Subscriber.Id,
                new(2026, 11, 20),
                weight,
                new(2026, 11, 1),
                Cancellation
            );
    }

    [Fact]
    public async Task The_journal_is_told_oldest_first_and_a_line_can_be_taken_back()
    {
        var lawn = (await SubscribeAsync()).Lawns[0].Id;
        var later = await AddAsync(
            new(0, JournalKind.Mowed, new(2026, 11, 20), 3.8) { HeightBeforeCm = 5.5 }
        );
        var earlier = await AddAsync(
            new(0, JournalKind.SoilMeasured, new(2026, 3, 1), -0.5, new(7, 30))
        );
        var taken = await AddAsync(new(0, JournalKind.Fed, new(2026, 5, 1), null));
        var fed = await AddAsync(
            new(0, JournalKind.Fed, new(2026, 11, 21), 4.9) { PhosphateGM2 = 1.2, PotashGM2 = 2.4 }
        );
        var sown = await AddAsync(
            new(0, JournalKind.Seeded, new(2026, 11, 22), 49) { Grass = GrassKind.AnnualRyegrass }
        );

        Assert.True(await Store.Journal.RemoveAsync(taken.Id, Cancellation));
        Assert.False(await Store.Journal.RemoveAsync(taken.Id, Cancellation));
        await RestartAsync();
        Assert.Equal(new LocalTime(7, 30), earlier.Time);
        Assert.Equal(
            [earlier, later, fed, sown],
            (await Store.Journal.LoadAsync(lawn, Cancellation)).Entries.AsEnumerable()
        );
        var many = await Store.Journal.LoadAsync([lawn, lawn + 1], Cancellation);
        Assert.Equal([earlier, later, fed, sown], many(lawn).Entries.AsEnumerable());
        Assert.Empty(many(lawn + 1).Entries);

        Task<JournalEntry> AddAsync(JournalEntry entry) =>
            Store.Journal.AddAsync(lawn, entry, Cancellation);
    }
}
