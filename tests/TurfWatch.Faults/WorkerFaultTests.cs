using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>Several workers on one PostgreSQL: one sleeps beyond its lease, clocks disagree, many start at once (faults P6, T3, Q1 to Q3).</summary>
public sealed class WorkerFaultTests : IAsyncLifetime
{
    private static readonly MessageKind[] Mixed =
    [
        MessageKind.Morning,
        MessageKind.Alert,
        MessageKind.Digest,
    ];

    private PostgresServer _server = null!;

    public async ValueTask InitializeAsync() =>
        _server = await PostgresServer.StartAsync(FaultRig.Cancellation, durable: true);

    public ValueTask DisposeAsync() => _server.DisposeAsync();

    [Fact(Explicit = true)]
    public async Task A_worker_that_slept_beyond_its_lease_sends_nothing_on_waking()
    {
        await using var rig = await StartAsync("P6 a worker asleep for 40 s, lease 30 s", 20);
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(700)))
        );
        (string, string)[] lease = [("Delivery:Lease", "00:00:30"), ("Delivery:Connections", "1")];
        var sleeper = rig.Serve(lease);
        await sleeper.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 2));
        sleeper.Pause();
        var other = rig.Serve(lease);
        rig.RelayDoes(SmtpScript.Healthy);
        await Task.Delay(TimeSpan.FromSeconds(40), FaultRig.Cancellation);
        await other.UntilAsync(async () =>
            await rig.CountAsync(OutboxState.Queued) + await rig.CountAsync(OutboxState.Claimed)
            == 0
        );
        var taken = rig.Relay.TakenCount;
        sleeper.Resume();
        rig.FaultEnds();
        await rig.SettleAsync(other);
        // Only what was in the transaction when it fell asleep may still be written down.
        await Task.Delay(TimeSpan.FromSeconds(3), FaultRig.Cancellation);
        Assert.InRange(rig.Relay.TakenCount, taken, taken + 1);
        await sleeper.StopAsync();
        await other.StopAsync();
        Assert.Equal(20, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    [Fact]
    public async Task Workers_whose_clocks_disagree_by_three_minutes()
    {
        await using var rig = await StartAsync(
            "T3 two workers, clocks 90 s fast and 90 s slow",
            80
        );
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(100)))
        );
        // In the window by either clock.
        (string, string)[] lease = [("Delivery:Lease", "00:00:30"), ("Delivery:Batch", "10")];
        var fast = rig.Serve(lease, NothingMore, ["--at", At(90)]);
        var slow = rig.Serve(lease, NothingMore, ["--at", At(-90)]);
        await rig.SettleAsync(fast);
        await fast.StopAsync();
        await slow.StopAsync();
        Assert.Equal(80, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    [Theory]
    [InlineData("Q1 one of two schedulers killed", false)]
    [InlineData("Q1 one of two schedulers asleep for 25 s", true, Explicit = true)]
    public async Task The_sweeps_go_on_when_one_of_two_workers_is_gone(string fault, bool sleeps)
    {
        await using var rig = await StartAsync(fault, 0);
        var gone = rig.Serve();
        var other = rig.Serve();
        // Both take part: each says that it is ready, and has for a while had its turns.
        foreach (var worker in new[] { gone, other })
        {
            await worker.UntilReadySaysAsync(t => t.StartsWith("ready", StringComparison.Ordinal));
        }

        await Task.Delay(TimeSpan.FromSeconds(4), FaultRig.Cancellation);
        if (sleeps)
        {
            gone.Pause();
        }
        else
        {
            await gone.KillAsync();
        }

        rig.FaultEnds();
        await rig.OweMorningsAsync(20, Duration.FromMinutes(150));
        await rig.SettleAsync(other);
        if (sleeps)
        {
            await Task.Delay(TimeSpan.FromSeconds(25), FaultRig.Cancellation);
            gone.Resume();
            await rig.OweMorningsAsync(20, Duration.FromMinutes(150));
            await other.UntilAsync(rig.IsSettledAsync);
            await gone.StopAsync();
        }

        await other.StopAsync();
        var verdict = await rig.JudgeAsync(Duration.FromSeconds(45), triesAtMost: 1);
        Assert.Equal(rig.Owed.Count, verdict.Sent);
    }

    [Fact]
    public async Task Five_workers_started_at_once_on_an_empty_database()
    {
        await using var rig = await StartAsync("Q3 five workers start at once", 0);
        var workers = Enumerable.Range(0, 5).Select(_ => rig.Serve()).ToList();
        await rig.QueueAsync(60, Mixed);
        await rig.OweMorningsAsync(15, Duration.FromMinutes(150));
        rig.FaultEnds();
        await rig.SettleAsync(workers[0]);
        foreach (var worker in workers)
        {
            await worker.StopAsync();
        }

        Assert.Equal(75, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    private static ImmutableDictionary<string, string> NothingMore =>
        ImmutableDictionary<string, string>.Empty;

    private static string At(int secondsAhead) =>
        (FaultRig.Now + Duration.FromSeconds(secondsAhead)).ToString();

    private async Task<FaultRig> StartAsync(string fault, int count)
    {
        var rig = FaultRig.Start(fault);
        var database = await _server.NewDatabaseAsync(FaultRig.Cancellation);
        rig.StoreOptions.Postgres = _server.ConnectionString(database);
        if (count > 0)
        {
            var start = FaultRig.Now;
            await rig.QueueAsync(
                count,
                start - Duration.FromMinutes(2),
                start + Duration.FromHours(3),
                Duration.Zero,
                Mixed
            );
        }

        return rig;
    }
}
