using System.Runtime.ExceptionServices;
using Quartz;
using TurfWatch.Host.Web;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// What every sweep does around its work: it tells the health page that it ran, and it survives: a store
/// that is away or a defect is logged, and the next sweep tries again.
/// </summary>
public abstract partial class SweepJob(string name, HealthBoard health, ILogger log) : IJob
{
    public async ValueTask Execute(
        IJobExecutionContext context,
        CancellationToken cancellationToken = default
    )
    {
        try
        {
            await SweepAsync(cancellationToken);
            health.Succeeded(name);
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            Stopped(log, name);
        }
        catch (StoreException e)
        {
            // The store being full or busy is not a stuck program: the sweep ran, and says so.
            health.Ticked(name);
            health.Trouble(HealthAreas.Store, e.Message);
            StoreAway(log, name, e.Message);
            return;
        }
        catch (Exception e)
        {
            health.Trouble(name, $"a defect showed: {e.Message}");
            Broken(log, name, e);
            return;
        }

        if (!cancellationToken.IsCancellationRequested)
        {
            health.Well(HealthAreas.Store);
        }
    }

    protected abstract Task SweepAsync(CancellationToken cancel);

    [LoggerMessage(LogLevel.Debug, "The {Job} sweep was stopped")]
    private static partial void Stopped(ILogger log, string job);

    [LoggerMessage(LogLevel.Error, "The {Job} sweep could not work: {Why}")]
    private static partial void StoreAway(ILogger log, string job, string why);

    [LoggerMessage(LogLevel.Error, "A defect showed in the {Job} sweep")]
    private static partial void Broken(ILogger log, string job, Exception e);
}

/// <summary>Fetches the weather that is due.</summary>
[DisallowConcurrentExecution]
public sealed class FetchJob(FetchSweep sweep, HealthBoard health, ILogger<FetchJob> log)
    : SweepJob(JobNames.Fetch, health, log)
{
    protected override Task SweepAsync(CancellationToken cancel) => sweep.RunAsync(cancel);
}

/// <summary>Fetches the climates that are missing.</summary>
[DisallowConcurrentExecution]
public sealed class ClimateJob(ClimateSweep sweep, HealthBoard health, ILogger<ClimateJob> log)
    : SweepJob(JobNames.Climate, health, log)
{
    protected override Task SweepAsync(CancellationToken cancel) => sweep.RunAsync(cancel);
}

/// <summary>Works out and writes down the morning messages that come due.</summary>
[DisallowConcurrentExecution]
public sealed class MorningJob(MorningSweep sweep, HealthBoard health, ILogger<MorningJob> log)
    : SweepJob(JobNames.Morning, health, log)
{
    protected override Task SweepAsync(CancellationToken cancel) => sweep.RunAsync(cancel);
}

/// <summary>Works out and writes down the alerts and digests that come due.</summary>
[DisallowConcurrentExecution]
public sealed class SeasonJob(SeasonSweep sweep, HealthBoard health, ILogger<SeasonJob> log)
    : SweepJob(JobNames.Season, health, log)
{
    protected override Task SweepAsync(CancellationToken cancel) => sweep.RunAsync(cancel);
}

/// <summary>Delivers what is due.</summary>
[DisallowConcurrentExecution]
public sealed class DeliverJob(
    DeliverySweep sweep,
    EndedWorkers ended,
    HealthBoard health,
    ILogger<DeliverJob> log
) : SweepJob(JobNames.Deliver, health, log)
{
    private readonly HealthBoard _health = health;

    protected override async Task SweepAsync(CancellationToken cancel)
    {
        await ended.SettleAsync(cancel);
        var report = await sweep.RunAsync(cancel);
        if (report.StoreFailure is { Fault: StoreFault.Away } failure)
        {
            // A worker that has lost its database is not ready, and not in trouble with mail.
            _health.Well(HealthAreas.Mail);
            ExceptionDispatchInfo.Throw(failure);
        }

        if (report.Halted is { } why && !cancel.IsCancellationRequested)
        {
            _health.Trouble(HealthAreas.Mail, why);
        }
        else
        {
            _health.Well(HealthAreas.Mail);
        }
    }
}

/// <summary>Deletes what is past keeping.</summary>
[DisallowConcurrentExecution]
public sealed class PruneJob(PruneSweep sweep, HealthBoard health, ILogger<PruneJob> log)
    : SweepJob(JobNames.Prune, health, log)
{
    protected override Task SweepAsync(CancellationToken cancel) => sweep.RunAsync(cancel);
}
