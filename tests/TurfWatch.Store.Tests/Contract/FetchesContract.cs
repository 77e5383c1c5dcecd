using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class FetchesContract : StoreContract
{
    private static readonly Duration Retry = Duration.FromMinutes(10);
    private static readonly Duration Hour = Duration.FromHours(1);

    // R28: however many workers look, one asks.
    [Fact]
    public async Task Of_many_who_look_at_once_one_is_to_fetch_and_the_others_are_put_off()
    {
        for (var round = 0; round < 20; round++)
        {
            var began = await Task.WhenAll(
                Enumerable.Range(0, 8).Select(_ => Task.Run(() => BeginAsync($"cell{round}")))
            );
            Assert.Single(began, b => b);
        }

        Assert.Equal(20, (await Store.Fetches.PutOffAsync(Now, Cancellation)).Count);
    }

    [Fact]
    public async Task A_fetch_that_succeeded_is_due_again_after_its_period_also_after_a_restart()
    {
        Assert.True(await BeginAsync("a"));
        Assert.Equal(Now, (await Store.Fetches.OfAsync("a", Cancellation)).BegunAt);
        await Store.Fetches.EndAsync("a", Now + Hour, Now, Cancellation);
        await RestartAsync();

        Assert.Equal(new(Now, null), await Store.Fetches.OfAsync("a", Cancellation));
        Advance(Hour - Duration.FromSeconds(1));
        Assert.False(await BeginAsync("a"));
        Assert.Contains("a", await Store.Fetches.PutOffAsync(Now, Cancellation));

        Advance(Duration.FromSeconds(1));
        Assert.Empty(await Store.Fetches.PutOffAsync(Now, Cancellation));
        Assert.True(await BeginAsync("a"));
    }

    [Fact]
    public async Task A_failure_is_put_off_and_does_not_count_as_a_fetch()
    {
        var first = Now;
        await BeginAsync("a");
        await Store.Fetches.EndAsync("a", Now + Hour, Now, Cancellation);
        Advance(Hour);
        await BeginAsync("a");
        await Store.Fetches.EndAsync("a", Now + Retry, null, Cancellation);

        Assert.Equal(new(first, null), await Store.Fetches.OfAsync("a", Cancellation));
        Assert.False(await BeginAsync("a"));
        Advance(Retry);
        Assert.True(await BeginAsync("a"));
    }

    [Fact]
    public async Task What_a_worker_began_and_died_over_is_begun_again_when_it_would_be_retried()
    {
        Assert.True(await BeginAsync("a"));
        Advance(Retry);
        Assert.True(await BeginAsync("a"));
    }

    [Fact]
    public async Task The_oldest_data_are_those_of_cells_in_use()
    {
        Assert.Null(await Store.Fetches.OldestDataAsync(Cancellation));
        var lawn = Samples.Lawn();
        await SubscribeAsync(lawn: lawn);
        var cell = new WeatherCell
        {
            Id = "at:29.4,-98.5",
            LatitudeDeg = 29.4,
            LongitudeDeg = -98.5,
            ResolvedAt = Now,
        };
        await Store.Cells.SaveAsync(cell, lawn.Place.Zip, Cancellation);
        await BeginAsync("nobody's");
        Advance(Hour);
        var wanted = Now;
        await BeginAsync(cell.Id);
        await Store.Fetches.EndAsync(cell.Id, Now + Retry, null, Cancellation);
        Advance(Hour);
        Assert.Equal(wanted, await Store.Fetches.OldestDataAsync(Cancellation));

        await Store.Fetches.EndAsync(cell.Id, Now + Hour, Now, Cancellation);

        Assert.Equal(Now, await Store.Fetches.OldestDataAsync(Cancellation));
    }

    [Fact]
    public async Task What_nobody_asks_for_any_more_is_forgotten()
    {
        await BeginAsync("a");
        Assert.Equal(0, await Store.Fetches.PruneAsync(Now, Cancellation));
        Advance(Hour);
        Assert.Equal(1, await Store.Fetches.PruneAsync(Now, Cancellation));
        Assert.Equal(new(null, null), await Store.Fetches.OfAsync("a", Cancellation));
    }

    // Workers of one database must hold a key of mailed links in common.
    [Fact]
    public async Task Link_keys_that_have_nothing_in_common_with_those_on_record_are_refused()
    {
        Assert.True(await Store.LinkKeyIds.JoinAsync(["a1"], Cancellation));
        Assert.True(await Store.LinkKeyIds.JoinAsync(["a1"], Cancellation));
        Assert.False(await Store.LinkKeyIds.JoinAsync(["b2"], Cancellation));
        // A new key on top of the old one.
        Assert.True(await Store.LinkKeyIds.JoinAsync(["c3", "a1"], Cancellation));
        Assert.True(await Store.LinkKeyIds.JoinAsync(["c3"], Cancellation));
        Assert.False(await Store.LinkKeyIds.JoinAsync(["b2"], Cancellation));
    }

    private Task<bool> BeginAsync(string key) =>
        Store.Fetches.TryBeginAsync(key, Now, Now + Retry, Cancellation);
}
