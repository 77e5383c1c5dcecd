using CsCheck;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Host.Jobs;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

public sealed class DeliveryPolicyTests
{
    [Fact]
    public void Back_off_stays_below_its_ceiling_and_inside_the_window()
    {
        var options = new DeliveryOptions();
        Gen.Select(Gen.Int[1, 200], Gen.Double[0, 0.999999], Gen.Int[0, 20_000])
            .Sample(
                (attempts, random, leftSeconds) =>
                {
                    var left = Duration.FromSeconds(leftSeconds);
                    var delay = DeliveryBackoff.Delay(options, attempts, null, left, random);
                    var ceiling = Math.Min(60 * Math.Pow(2, Math.Min(attempts - 1, 20)), 1800);
                    return delay >= Duration.Zero
                        && delay <= left
                        && delay.TotalSeconds <= ceiling
                        && Math.Abs(delay.TotalSeconds - Math.Min(ceiling, leftSeconds) * random)
                            < 1e-6;
                }
            );
    }

    [Theory]
    [InlineData(0.0, 300)]
    [InlineData(0.999, 330)]
    public void A_wait_that_the_relay_asks_for_is_never_shortened(double random, int atMost)
    {
        var delay = DeliveryBackoff.Delay(
            new(),
            1,
            TimeSpan.FromMinutes(5),
            Duration.FromMinutes(1),
            random
        );
        Assert.InRange(delay.TotalSeconds, 300, atMost);
    }

    // R24
    [Fact]
    public async Task Messages_are_spaced_in_all_and_by_domain()
    {
        var time = new FakeTimeProvider();
        var pacer = new DeliveryPacer(time, perSecond: 10, perDomainPerSecond: 2);
        var waits = Enumerable
            .Range(0, 12)
            .Select(i => pacer.WaitAsync($"r{i}@{(i % 2 == 0 ? "a" : "B")}.example", default))
            .ToList();
        var done = new List<int>();
        for (var tenth = 0; tenth < 40; tenth++)
        {
            done.Add(waits.Count(w => w.IsCompleted));
            time.Advance(TimeSpan.FromMilliseconds(100));
            await Task.Yield();
        }

        // Two domains at 2 a second: 12 messages need 2.5 s; never more than 2 a domain in any second.
        Assert.Equal(12, done[^1]);
        Assert.True(done[20] < 12, $"all were done after 2.0 s: {string.Join(' ', done)}");
        for (var i = 10; i < done.Count; i++)
        {
            Assert.InRange(done[i] - done[i - 10], 0, 6);
        }
    }

    [Fact]
    public void Each_fault_of_the_options_is_named_with_key_value_and_cure()
    {
        Assert.Empty(new DeliveryOptions().Faults());
        var faults = new DeliveryOptions
        {
            Batch = 0,
            Lease = TimeSpan.Zero,
            SendingLease = TimeSpan.FromMinutes(1),
            Connections = 0,
            PerSecond = double.NaN,
            PerDomainPerSecond = -1,
            MaxClaims = 1,
            BackoffBase = TimeSpan.Zero,
            BackoffCap = TimeSpan.FromDays(1),
            RelayPause = TimeSpan.Zero,
            StopGrace = TimeSpan.FromHours(1),
        }
            .Faults()
            .ToList();
        Assert.Equal(11, faults.Count);
        Assert.All(faults, f => Assert.Matches(@"^Delivery:\w+ is .+; write .+\.$", f));
    }
}
