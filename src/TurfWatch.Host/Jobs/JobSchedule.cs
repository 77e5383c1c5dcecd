using Quartz;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Quartz decides only when to look; the outbox decides what is sent. One sweep of each kind, in
/// memory, in UTC, none beside itself, and a sweep that was missed is not made up for.
/// </summary>
internal static class JobSchedule
{
    public static void AddSweeps(
        this IServiceCollection services,
        JobsOptions options,
        TimeProvider clock
    )
    {
        services.AddQuartz(quartz =>
        {
            quartz.UseTimeProvider(clock);
            // Without this a sweep is waited for but never told to stop, and drains all that is due.
            services.Configure<QuartzSchedulerOptions>(scheduler =>
                scheduler.ShutdownJobInterruption = ShutdownJobInterruption.Always
            );
            Add<FetchJob>(quartz, JobNames.Fetch, options.FetchSweep);
            Add<ClimateJob>(quartz, JobNames.Climate, ClimateSweep.Every);
            Add<MorningJob>(quartz, JobNames.Morning, options.MorningSweep);
            Add<SeasonJob>(quartz, JobNames.Season, options.SeasonSweep);
            Add<DeliverJob>(quartz, JobNames.Deliver, options.DeliverSweep);
            Add<PruneJob>(quartz, JobNames.Prune, options.PruneSweep);
        });
        services.AddQuartzHostedService(hosted => hosted.WaitForJobsToComplete = true);
    }

    private static void Add<T>(IQuartzBuilder quartz, string name, TimeSpan every)
        where T : class, IJob
    {
        quartz.AddJob<T>(job => job.WithIdentity(name).StoreDurably());
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
