using NodaTime;

namespace TurfWatch.Store.Tests.Contract;

public abstract class LeasesContract : StoreContract
{
    private static readonly Duration Minute = Duration.FromMinutes(1);

    [Fact]
    public async Task One_worker_holds_a_lease_until_it_gives_it_back()
    {
        Assert.True(await HoldAsync("ann"));
        Assert.False(await HoldAsync("bob"));
        await Store.Leases.ReleaseAsync("inbox", "bob", Cancellation);
        Assert.False(await HoldAsync("bob"));

        await Store.Leases.ReleaseAsync("inbox", "ann", Cancellation);

        Assert.True(await HoldAsync("bob"));
        Assert.False(await HoldAsync("ann"));
    }

    [Fact]
    public async Task A_lease_that_is_not_renewed_passes_to_another()
    {
        Assert.True(await HoldAsync("ann"));
        Advance(Duration.FromSeconds(40));
        Assert.True(await HoldAsync("ann"));
        Advance(Duration.FromSeconds(40));
        Assert.False(await HoldAsync("bob"));

        Advance(Duration.FromSeconds(20));

        Assert.True(await HoldAsync("bob"));
        Assert.False(await HoldAsync("ann"));
    }

    [Fact]
    public async Task Leases_of_other_names_are_other_leases()
    {
        Assert.True(await HoldAsync("ann"));
        Assert.True(await Store.Leases.TryHoldAsync("other", "bob", Minute, Cancellation));
    }

    [Fact]
    public async Task Of_many_who_reach_for_it_at_once_one_gets_it()
    {
        for (var round = 0; round < 20; round++)
        {
            var got = await Task.WhenAll(
                Enumerable
                    .Range(0, 10)
                    .Select(w =>
                        Task.Run(() =>
                            Store.Leases.TryHoldAsync($"r{round}", $"w{w}", Minute, Cancellation)
                        )
                    )
            );
            Assert.Single(got, g => g);
        }
    }

    private Task<bool> HoldAsync(string owner) =>
        Store.Leases.TryHoldAsync("inbox", owner, Minute, Cancellation);
}
