using System.Collections.Concurrent;
using TurfWatch.Host.Telemetry;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Settles at once what workers of this machine left whose processes have ended: the kernel's locks prove it, so nobody waits for
/// their leases (docs/decisions/012-a-kernel-lock-tells-who-ended.md). What the dead of other machines left waits for them.
/// </summary>
public sealed partial class EndedWorkers(
    TurfStore store,
    StoreOptions options,
    ILogger<EndedWorkers> log
)
{
    // Held until the process ends and not a moment less: what is under way may outlast whoever asked for it.
    private static readonly ConcurrentBag<WorkerFile> Held = [];

    private readonly WorkerFile? _own = Hold(options);

    public async Task SettleAsync(CancellationToken cancel)
    {
        var all = _own?.Ended() ?? [];
        try
        {
            foreach (var ended in all)
            {
                var (swept, done) = await store.Outbox.SettleEndedAsync(ended.Worker, cancel);
                Count(swept);
                if (done)
                {
                    ended.Delete();
                    Settled(log, ended.Worker, swept.Requeued, swept.Unknown, swept.Resent);
                }
            }
        }
        finally
        {
            foreach (var ended in all)
            {
                ended.Dispose();
            }
        }
    }

    private static WorkerFile? Hold(StoreOptions options)
    {
        // With SQLite the lock of the folder proves the same.
        var own = options.UsesPostgres ? WorkerFile.Take(options.DataDirectory, Worker.Name) : null;
        if (own is not null)
        {
            Held.Add(own);
        }

        return own;
    }

    private static void Count(OutboxSweep swept)
    {
        ServiceMeter.Became("expired", swept.Expired);
        ServiceMeter.Became("suppressed", swept.Suppressed);
        ServiceMeter.Became("unknown", swept.Unknown);
    }

    [LoggerMessage(
        LogLevel.Warning,
        "Worker {Worker} of this machine has ended; {Requeued} messages that it had taken go on, {Unknown} that it was sending are unknown, {Resent} are sent once more"
    )]
    private static partial void Settled(
        ILogger log,
        string worker,
        int requeued,
        int unknown,
        int resent
    );
}
