using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Host.Jobs;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Workers;

/// <summary>Work of one worker at a time, such as reading the mailbox.</summary>
public sealed class HeldWorkTests : IAsyncLifetime
{
    private const string Name = "inbox";
    private const string Other = "another worker";

    private readonly ScratchFolder _folder = new();
    private readonly FakeTimeProvider _clock = new(new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));
    private readonly CancellationTokenSource _stop = new();
    private TurfStore _store = null!;
    private int _runs;
    private CancellationToken _working;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() =>
        _store = await TurfStore.OpenAsync(
            new() { DataDirectory = _folder.Path },
            _clock,
            Cancellation
        );

    public async ValueTask DisposeAsync()
    {
        _stop.Dispose();
        await _store.DisposeAsync();
        _folder.Dispose();
    }

    [Fact]
    public async Task It_is_done_for_as_long_as_the_service_runs_and_given_back_at_the_end()
    {
        var running = RunAsync();
        await Wait.UntilAsync(() => _runs == 1);
        for (var i = 0; i < 20; i++)
        {
            await ForwardAsync();
            Assert.False(await OtherTakesAsync());
        }

        await _stop.CancelAsync();
        await running;

        Assert.Equal(1, _runs);
        Assert.True(await OtherTakesAsync());
    }

    [Fact]
    public async Task A_worker_waits_while_another_does_it_and_goes_on_when_that_one_died()
    {
        Assert.True(await OtherTakesAsync());
        var running = RunAsync();
        for (var i = 0; i < 3; i++)
        {
            await ForwardAsync();
        }

        Assert.Equal(0, _runs);
        for (var i = 0; i < 3; i++)
        {
            await ForwardAsync();
        }

        await Wait.UntilAsync(() => _runs == 1);
        await _stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task Who_lost_the_lease_stops_the_work()
    {
        var running = RunAsync();
        await Wait.UntilAsync(() => _runs == 1);
        Assert.False(_working.IsCancellationRequested);
        // As after a long sleep: the lease lapsed and another took it.
        await _store.Leases.ReleaseAsync(Name, Worker.Name, Cancellation);
        Assert.True(await OtherTakesAsync());

        await ForwardAsync();

        await Wait.UntilAsync(() => _working.IsCancellationRequested);
        Assert.False(
            await _store.Leases.TryHoldAsync(Name, "a third", HeldWork.Lease, Cancellation)
        );
        await _stop.CancelAsync();
        await running;
    }

    private Task RunAsync() =>
        new HeldWork(Name, _store, _clock, NullLogger.Instance).RunAsync(
            async held =>
            {
                _working = held;
                Interlocked.Increment(ref _runs);
                await Task.Delay(Timeout.InfiniteTimeSpan, held);
            },
            _stop.Token
        );

    private Task<bool> OtherTakesAsync() =>
        _store.Leases.TryHoldAsync(Name, Other, HeldWork.Lease, Cancellation);

    /// <summary>By less than a lease, in two parts, with time for what wakes to do its part.</summary>
    private async Task ForwardAsync()
    {
        await Task.Delay(30, Cancellation);
        _clock.Advance(Duration.FromSeconds(15).ToTimeSpan());
        await Task.Delay(30, Cancellation);
    }
}
