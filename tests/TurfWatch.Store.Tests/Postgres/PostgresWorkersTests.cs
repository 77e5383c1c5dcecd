using Microsoft.Extensions.Time.Testing;
using NodaTime;
using Npgsql;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>Several workers on one database (R16, R22, R26; fault T3).</summary>
public sealed class PostgresWorkersTests(PostgresCluster cluster) : IAsyncLifetime
{
    private static readonly Duration Lease = Duration.FromMinutes(2);

    private PostgresHome _home = null!;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private static Instant Now => Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());

    public async ValueTask InitializeAsync() => _home = await cluster.NewHomeAsync(Cancellation);

    public ValueTask DisposeAsync() => _home.DisposeAsync();

    // R16
    [Fact]
    public async Task Two_workers_that_race_1000_times_make_one_row_and_one_of_them_claims_it()
    {
        await using var ann = await _home.OpenAsync(TimeProvider.System, Cancellation);
        await using var bob = await _home.OpenAsync(TimeProvider.System, Cancellation);
        var to = await SubscribeAsync(ann);
        for (var i = 0; i < 1000; i++)
        {
            var message = Samples.Message(to, Now, $"2026-11-25#{i}");
            var made = await BothAsync(s => s.Outbox.EnqueueAsync([message], Cancellation));
            Assert.Equal(1, made.Sum());
            var claimed = await BothAsync(s => s.Outbox.ClaimAsync("w", 5, Lease, Cancellation));
            Assert.Single(claimed.SelectMany(c => c));
        }

        var counts = await ann.Outbox.CountAsync(Cancellation);
        Assert.Equal(1000, counts[OutboxState.Claimed]);

        Task<T[]> BothAsync<T>(Func<TurfStore, Task<T>> work) =>
            Task.WhenAll(Task.Run(() => work(ann)), Task.Run(() => work(bob)));
    }

    // T3, R22: the one worker's clock is ahead and the other's behind; the lease is told by the database's.
    [Theory]
    [InlineData(-90)]
    [InlineData(90)]
    public async Task A_worker_with_a_wrong_clock_neither_steals_nor_loses_a_lease(int seconds)
    {
        var wrong = new FakeTimeProvider(
            TimeProvider.System.GetUtcNow() + TimeSpan.FromSeconds(seconds)
        );
        await using var right = await _home.OpenAsync(TimeProvider.System, Cancellation);
        await using var off = await _home.OpenAsync(wrong, Cancellation);
        var to = await SubscribeAsync(right);
        var lease = Duration.FromSeconds(60);
        await right.Outbox.EnqueueAsync(
            [
                Samples.Message(to, Now - Duration.FromMinutes(10), "of the right one"),
                Samples.Message(to, Now - Duration.FromMinutes(10), "of the one that is off"),
            ],
            Cancellation
        );
        var held = Assert.Single(await right.Outbox.ClaimAsync("right", 1, lease, Cancellation));
        var other = Assert.Single(await off.Outbox.ClaimAsync("off", 1, lease, Cancellation));

        foreach (var store in new[] { right, off })
        {
            var sweep = await store.Outbox.SweepAsync(5, [], Cancellation);
            Assert.Equal((0, 0), (sweep.Requeued, sweep.Unknown));
        }

        Assert.Equal(
            SendPermit.Granted,
            await right.Outbox.BeginSendingAsync(held, lease, Cancellation)
        );
        Assert.Equal(
            SendPermit.Granted,
            await off.Outbox.BeginSendingAsync(other, lease, Cancellation)
        );
        Assert.True(await right.Leases.TryHoldAsync("inbox", "right", lease, Cancellation));
        Assert.False(await off.Leases.TryHoldAsync("inbox", "off", lease, Cancellation));
    }

    [Fact]
    public async Task A_lease_ends_by_the_clock_of_the_database()
    {
        // The program's clock stands still: it cannot be what ends the lease.
        var still = new FakeTimeProvider(TimeProvider.System.GetUtcNow());
        await using var store = await _home.OpenAsync(still, Cancellation);
        var to = await SubscribeAsync(store);
        await store.Outbox.EnqueueAsync(
            [Samples.Message(to, Now - Duration.FromMinutes(1))],
            Cancellation
        );
        var lease = Duration.FromMilliseconds(300);
        var claimed = Assert.Single(await store.Outbox.ClaimAsync("w", 1, lease, Cancellation));
        Assert.Equal(0, (await store.Outbox.SweepAsync(5, [], Cancellation)).Requeued);

        await Task.Delay(400, Cancellation);

        Assert.Equal(
            SendPermit.Lost,
            await store.Outbox.BeginSendingAsync(claimed, lease, Cancellation)
        );
        Assert.Equal(1, (await store.Outbox.SweepAsync(5, [], Cancellation)).Requeued);
    }

    // R10: a leaving that is being committed is waited for, so that nothing begins after it.
    [Fact]
    public async Task The_last_check_waits_for_a_leaving_that_is_under_way()
    {
        await using var store = await _home.OpenAsync(TimeProvider.System, Cancellation);
        var to = await SubscribeAsync(store);
        await store.Outbox.EnqueueAsync([Samples.Message(to, Now)], Cancellation);
        var claimed = Assert.Single(await store.Outbox.ClaimAsync("w", 5, Lease, Cancellation));
        await using var other = new NpgsqlConnection(
            _home.Server.ConnectionString(_home.Database) + ";Pooling=false"
        );
        await other.OpenAsync(Cancellation);
        await using var leaving = await other.BeginTransactionAsync(Cancellation);
        await using var leave = new NpgsqlCommand(
            "UPDATE subscriber SET status = 'Left'",
            other,
            leaving
        );
        Assert.Equal(1, await leave.ExecuteNonQueryAsync(Cancellation));

        var check = Task.Run(() => store.Outbox.BeginSendingAsync(claimed, Lease, Cancellation));
        await Task.Delay(300, Cancellation);
        Assert.False(check.IsCompleted);
        await leaving.CommitAsync(Cancellation);

        Assert.Equal(SendPermit.Suppressed, await check);
    }

    [Fact]
    public async Task A_leaving_that_is_under_way_keeps_nobody_else_waiting()
    {
        await using var store = await _home.OpenAsync(TimeProvider.System, Cancellation);
        for (var i = 0; i < 10; i++)
        {
            var to = await SubscribeAsync(store, $"s{i}@example.com");
            await store.Outbox.EnqueueAsync([Samples.Message(to, Now)], Cancellation);
        }

        var claimed = await store.Outbox.ClaimAsync("w", 10, Lease, Cancellation);
        var who = claimed[4].SubscriberId;
        await using var other = new NpgsqlConnection(
            _home.Server.ConnectionString(_home.Database) + ";Pooling=false"
        );
        await other.OpenAsync(Cancellation);
        await using var leaving = await other.BeginTransactionAsync(Cancellation);
        await using var leave = new NpgsqlCommand(
            "UPDATE subscriber SET status = 'Left' WHERE id = $1",
            other,
            leaving
        )
        {
            Parameters = { new() { Value = who } },
        };
        Assert.Equal(1, await leave.ExecuteNonQueryAsync(Cancellation));

        var begun = claimed.ToDictionary(
            m => m.SubscriberId,
            m => Task.Run(() => store.Outbox.BeginSendingAsync(m, Lease, Cancellation))
        );
        Assert.All(
            await Task.WhenAll(begun.Where(b => b.Key != who).Select(b => b.Value)),
            permit => Assert.Equal(SendPermit.Granted, permit)
        );
        Assert.False(begun[who].IsCompleted);
        await leaving.CommitAsync(Cancellation);
        Assert.Equal(SendPermit.Suppressed, await begun[who]);
    }

    // PostgreSQL keeps no NUL in a text.
    [Fact]
    public async Task An_end_that_cannot_be_written_keeps_no_other_from_being_written()
    {
        await using var store = await _home.OpenAsync(TimeProvider.System, Cancellation);
        var to = await SubscribeAsync(store);
        await store.Outbox.EnqueueAsync(
            [.. Enumerable.Range(0, 10).Select(i => Samples.Message(to, Now, $"k{i}"))],
            Cancellation
        );
        var claimed = await store.Outbox.ClaimAsync("w", 10, Lease, Cancellation);
        foreach (var message in claimed)
        {
            Assert.Equal(
                SendPermit.Granted,
                await store.Outbox.BeginSendingAsync(message, Lease, Cancellation)
            );
        }

        var ends = claimed.Select(m =>
            Task.Run(() =>
                store.Outbox.CompleteAsync(
                    m,
                    OutboxOutcome.Sent(m.Key == "k4" ? "250 \0" : "250 ok"),
                    Cancellation
                )
            )
        );
        await Assert.ThrowsAsync<PostgresException>(() => Task.WhenAll(ends.ToList()));

        var counts = await store.Outbox.CountAsync(Cancellation);
        Assert.Equal((9, 1), (counts[OutboxState.Sent], counts[OutboxState.Sending]));
    }

    [Fact]
    public async Task Two_who_ask_to_join_with_one_address_at_once_meet_one_subscriber()
    {
        await using var ann = await _home.OpenAsync(TimeProvider.System, Cancellation);
        await using var bob = await _home.OpenAsync(TimeProvider.System, Cancellation);
        for (var i = 0; i < 100; i++)
        {
            var asked = await Task.WhenAll(
                new[] { ann, bob, ann, bob }.Select(s =>
                    Task.Run(() =>
                        s.Joins.AskAsync($"a{i}@example.com", Samples.Lawn(), Cancellation)
                    )
                )
            );
            Assert.Single(asked.Select(a => a.Who!.Subscriber.Id).Distinct());
            Assert.All(asked, a => Assert.Equal(JoinStanding.Pending, a.Standing));
            Assert.Single(
                (await ann.Subscribers.FindAsync($"a{i}@example.com", Cancellation))!.Lawns
            );
        }
    }

    [Fact]
    public async Task A_deed_that_two_workers_do_at_once_is_done_once()
    {
        await using var ann = await _home.OpenAsync(TimeProvider.System, Cancellation);
        await using var bob = await _home.OpenAsync(TimeProvider.System, Cancellation);
        var owner = (await ann.Subscribers.AddAsync("a@b.example", Samples.Lawn(), Cancellation))!;
        for (var i = 0; i < 100; i++)
        {
            var deed = new Deed
            {
                Id = Deed.DrawId(),
                SubscriberId = owner.Subscriber.Id,
                LawnId = owner.Lawns[0].Id,
                Adds = [new(0, JournalKind.Mowed, new LocalDate(2026, 11, 20), 5.08, null)],
            };
            var done = await Task.WhenAll(
                Task.Run(() => ann.Deeds.DoAsync(deed, Cancellation)),
                Task.Run(() => bob.Deeds.DoAsync(deed, Cancellation))
            );
            Assert.Single(done, d => d);
            var undone = await Task.WhenAll(
                Task.Run(() => ann.Deeds.UndoAsync(deed.Id, Cancellation)),
                Task.Run(() => bob.Deeds.UndoAsync(deed.Id, Cancellation))
            );
            Assert.Single(undone, u => u);
        }

        Assert.Empty((await ann.Journal.LoadAsync(owner.Lawns[0].Id, Cancellation)).Entries);
    }

    private static async Task<Subscriber> SubscribeAsync(
        TurfStore store,
        string email = "ann@example.com"
    ) => (await store.Subscribers.AddAsync(email, Samples.Lawn(), Cancellation))!.Subscriber;
}
