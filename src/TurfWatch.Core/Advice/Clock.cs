using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Times as they are told: on the quarter hour, because the forecast knows no better.</summary>
public static class Clock
{
    /// <summary>The grain of told times.</summary>
    public static readonly Duration Grain = Duration.FromMinutes(15);

    /// <summary>The quarter hour at or before.</summary>
    public static Instant Down(Instant instant)
    {
        var grain = (long)Grain.TotalSeconds;
        var seconds = instant.ToUnixTimeSeconds();
        return Instant.FromUnixTimeSeconds(seconds - Mod(seconds, grain));
    }

    /// <summary>The quarter hour at or after.</summary>
    public static Instant Up(Instant instant)
    {
        var down = Down(instant);
        return down == instant ? instant : down + Grain;
    }

    /// <summary>The nearest quarter hour.</summary>
    public static Instant Near(Instant instant) => Down(instant + Grain / 2);

    private static long Mod(long a, long b) => ((a % b) + b) % b;
}
