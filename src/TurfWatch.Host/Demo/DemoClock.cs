using NodaTime;

namespace TurfWatch.Host.Demo;

/// <summary>The clock of a demo household: it stands where it was put. Timers run by the real one.</summary>
internal sealed class DemoClock : TimeProvider
{
    public Instant Now { get; set; }

    public override DateTimeOffset GetUtcNow() => Now.ToDateTimeOffset();
}
