using NodaTime;
using TurfWatch.Host.Join;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>Deletes weather, message texts and unconfirmed requests that are past keeping.</summary>
public sealed partial class PruneSweep(
    TurfStore store,
    JobsOptions options,
    JoinOptions join,
    TimeProvider clock,
    ILogger<PruneSweep> log
)
{
    // A message that is moved away and back by hand within this time is still known.
    private static readonly Duration KeepInbound = Duration.FromDays(400);

    // Longer than anything is put off.
    private static readonly Duration KeepFetches = Duration.FromDays(30);

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
        await store.Joins.ForgetAsync(now - Duration.FromTimeSpan(join.KeepPending), cancel);
        await store.Inbound.PruneAsync(now - KeepInbound, cancel);
        await store.Fetches.PruneAsync(now - KeepFetches, cancel);
        Pruned(log, hours, messages);
    }

    [LoggerMessage(LogLevel.Debug, "Deleted {Days} days of weather and {Messages} message texts")]
    private static partial void Pruned(ILogger log, int days, int messages);
}
