using Quartz;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Quartz decides only when to look; the outbox decides what is sent. One sweep of each kind, in UTC, none beside itself, and
/// a sweep that was missed is not made up for. Delivery runs on every worker. The other sweeps run on one worker at a time: where
/// workers share a PostgreSQL database, the schedule is kept in it, and when a worker dies another goes on.
/// </summary>
internal static class JobSchedule
{
    /// <summary>The sweeps that one worker does for all; the workers of a cluster know each other by it.</summary>
    public const string Shared = "turfwatch";

    public const string OfEachWorker = "turfwatch-worker";

    // A worker that is not heard of for about 15 s is taken for dead. If it only was slow, a sweep runs twice, which does no harm.
    private static readonly TimeSpan CheckIn = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan CheckInLate = TimeSpan.FromSeconds(10);

    public static void AddSweeps(
        this IServiceCollection services,
        JobsOptions options,
        TurfStore store,
        TimeProvider clock
    )
    {
        services.AddQuartz(
            Shared,
            quartz =>
            {
                quartz.ConfigureScheduler(StopsWhenTold);
                quartz.AddSchedulerListener<ScheduleTrouble>();
                if (store.OpenScheduleConnections() is { } connections)
                {
                    quartz.Share(connections);
                }
                else
                {
                    quartz.UseTimeProvider(clock);
                }

                Add<FetchJob>(quartz, JobNames.Fetch, options.FetchSweep);
                Add<ClimateJob>(quartz, JobNames.Climate, ClimateSweep.Every);
                Add<MorningJob>(quartz, JobNames.Morning, options.MorningSweep);
                Add<SeasonJob>(quartz, JobNames.Season, options.SeasonSweep);
                Add<PruneJob>(quartz, JobNames.Prune, options.PruneSweep);
            }
        );
        services.AddQuartz(
            OfEachWorker,
            quartz =>
            {
                quartz.ConfigureScheduler(StopsWhenTold);
                quartz.AddSchedulerListener<ScheduleTrouble>();
                quartz.UseTimeProvider(clock);
                Add<DeliverJob>(quartz, JobNames.Deliver, options.DeliverSweep);
            }
        );
        services.AddQuartzHostedService(hosted => hosted.WaitForJobsToComplete = true);
    }

    // Without this a sweep is waited for but never told to stop, and drains all that is due.
    private static void StopsWhenTold(QuartzSchedulerOptions scheduler) =>
        scheduler.ShutdownJobInterruption = ShutdownJobInterruption.Always;

    // Job classes are kept by their names in the database: one that is renamed, or leaves the assembly, stops workers of the
    // version before from running it while they are replaced.
    private static void Share(
        this IQuartzBuilder quartz,
        System.Data.Common.DbDataSource connections
    )
    {
        // When to look is told by real clocks, which --at does not shift: other workers share the schedule.
        quartz.UseTimeProvider(TimeProvider.System);
        quartz.ConfigureScheduler(scheduler => scheduler.InstanceId = Worker.Name);
        // What this worker's configuration says counts, from the last firing on.
        quartz.ConfigureOptions<QuartzOptions>(o =>
            o.Scheduling.ScheduleTriggerRelativeToReplacedTrigger = true
        );
        quartz.UsePersistentStore(kept =>
        {
            kept.ConfigureStore(o => o.StoreJobDataAsStrings = true);
            kept.UsePostgres(source => source.DataSourceFactory = _ => connections);
            kept.UseClustering(c =>
            {
                c.CheckinInterval = CheckIn;
                c.CheckinMisfireThreshold = CheckInLate;
            });
            kept.UseSystemTextJsonSerializer();
            kept.ProvisionSchema();
        });
    }

    private static void Add<T>(IQuartzBuilder quartz, string name, TimeSpan every)
        where T : class, IJob
    {
        quartz.AddJob<T>(job => job.WithIdentity(name).StoreDurably().RequestRecovery());
        quartz.AddTrigger<T>(trigger =>
            trigger
                .WithIdentity(name)
                .ForJob(name)
                .StartNow()
                .WithSimpleSchedule(schedule =>
                    schedule
                        .WithInterval(every)
                        .RepeatForever()
                        .WithMisfireInstruction(
                            SimpleTriggerMisfireInstruction.NextWithRemainingCount
                        )
                )
        );
    }
}
