using Quartz;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Says in a sentence that a schedule cannot be worked with, once in a while: Quartz itself would write a page of stack
/// every second for as long as the database of a shared one is away.
/// </summary>
internal sealed partial class ScheduleTrouble(TimeProvider clock, ILogger<ScheduleTrouble> log)
    : ISchedulerListener
{
    private static readonly TimeSpan Often = TimeSpan.FromMinutes(1);

    private readonly Lock _turn = new();
    private long? _toldAt;

    public ValueTask SchedulerError(
        IScheduler scheduler,
        SchedulerErrorContext error,
        CancellationToken cancellationToken = default
    )
    {
        lock (_turn)
        {
            if (_toldAt is { } at && clock.GetElapsedTime(at) < Often)
            {
                return ValueTask.CompletedTask;
            }

            _toldAt = clock.GetTimestamp();
        }

        var cause = error.Exception?.GetBaseException().Message ?? error.Message;
        Troubled(log, cause.ReplaceLineEndings(" ").TrimEnd('.'));
        return ValueTask.CompletedTask;
    }

    [LoggerMessage(
        LogLevel.Error,
        "The schedule of sweeps cannot be worked with ({Why}); it is tried again by itself"
    )]
    private static partial void Troubled(ILogger log, string why);
}
