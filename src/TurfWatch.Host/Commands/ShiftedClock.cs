using NodaTime;

namespace TurfWatch.Host.Commands;

/// <summary>The real clock, moved so that it shows a given instant now: for trying the program on recorded weather.</summary>
public sealed class ShiftedClock : TimeProvider
{
    private readonly TimeProvider _real;
    private readonly TimeSpan _shift;

    public ShiftedClock(TimeProvider real, Instant now)
    {
        _real = real;
        _shift = now.ToDateTimeOffset() - real.GetUtcNow();
    }

    public override DateTimeOffset GetUtcNow() => _real.GetUtcNow() + _shift;

    public override long GetTimestamp() => _real.GetTimestamp();

    public override long TimestampFrequency => _real.TimestampFrequency;

    public override ITimer CreateTimer(
        TimerCallback callback,
        object? state,
        TimeSpan dueTime,
        TimeSpan period
    ) => _real.CreateTimer(callback, state, dueTime, period);
}
