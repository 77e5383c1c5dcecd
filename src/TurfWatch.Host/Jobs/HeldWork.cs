using NodaTime;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>Work without end that one worker does at a time: the others wait, and one of them goes on when it stops or dies.</summary>
internal sealed partial class HeldWork(
    string name,
    TurfStore store,
    TimeProvider clock,
    ILogger log
)
{
    public static readonly Duration Lease = Duration.FromSeconds(60);

    private static readonly TimeSpan Renewed = TimeSpan.FromSeconds(15);

    /// <summary>Does the work whenever the lease can be had, until told to stop.</summary>
    /// <param name="work">Is cancelled when the lease is lost or the service stops.</param>
    public async Task RunAsync(Func<CancellationToken, Task> work, CancellationToken stop)
    {
        while (!stop.IsCancellationRequested)
        {
            if (await TryHoldAsync(stop) == true)
            {
                await HoldAsync(work, stop);
            }

            await Task.Delay(Renewed, clock, stop)
                .ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task HoldAsync(Func<CancellationToken, Task> work, CancellationToken stop)
    {
        using var lost = CancellationTokenSource.CreateLinkedTokenSource(stop);
        var renewing = RenewAsync(lost);
        try
        {
            await work(lost.Token);
        }
        catch (OperationCanceledException) when (lost.IsCancellationRequested) { }
        finally
        {
            await lost.CancelAsync();
            await renewing;
            await ReleaseAsync();
        }
    }

    private async Task RenewAsync(CancellationTokenSource lost)
    {
        var heldSince = clock.GetTimestamp();
        while (true)
        {
            await Task.Delay(Renewed, clock, lost.Token)
                .ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            if (lost.IsCancellationRequested)
            {
                return;
            }

            var asked = clock.GetTimestamp();
            var held = await TryHoldAsync(lost.Token);
            heldSince = held == true ? asked : heldSince;
            // While the database is away nobody else can take it either, until it lapses.
            if (held == false || clock.GetElapsedTime(heldSince) >= Lease.ToTimeSpan())
            {
                Lost(log, name);
                await lost.CancelAsync();
                return;
            }
        }
    }

    /// <summary>Null when the database is away.</summary>
    private async Task<bool?> TryHoldAsync(CancellationToken cancel)
    {
        try
        {
            return await store.Leases.TryHoldAsync(name, Worker.Name, Lease, cancel);
        }
        catch (StoreException e)
        {
            Away(log, name, e.Message);
            return null;
        }
        catch (OperationCanceledException)
        {
            return null;
        }
    }

    private async Task ReleaseAsync()
    {
        try
        {
            await store.Leases.ReleaseAsync(name, Worker.Name, CancellationToken.None);
        }
        catch (StoreException e)
        {
            // It lapses by itself.
            Away(log, name, e.Message);
        }
    }

    [LoggerMessage(LogLevel.Warning, "This worker lost the lease of {Work}; another does it")]
    private static partial void Lost(ILogger log, string work);

    [LoggerMessage(LogLevel.Warning, "The lease of {Work} cannot be asked for: {Why}")]
    private static partial void Away(ILogger log, string work, string why);
}
