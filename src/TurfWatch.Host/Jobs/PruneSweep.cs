using NodaTime;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>Deletes weather and message texts that are past keeping.</summary>
public sealed partial class PruneSweep(
    TurfStore store,
    JobsOptions options,
    TimeProvider clock,
    ILogger<PruneSweep> log
)
{
    public async Task RunAsync(CancellationToken cancel)
    {
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
        var hours = await store.WeatherHours.PruneAsync(
            now - Duration.FromTimeSpan(options.KeepWeather),
            cancel
        );
        var messages = await store.Outbox.PruneAsync(
            now - Duration.FromTimeSpan(options.KeepMessages),
            cancel
        );
        Pruned(log, hours, messages);
    }

    [LoggerMessage(LogLevel.Debug, "Deleted {Days} days of weather and {Messages} message texts")]
    private static partial void Pruned(ILogger log, int days, int messages);
}
