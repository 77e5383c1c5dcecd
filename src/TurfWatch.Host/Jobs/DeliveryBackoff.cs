using NodaTime;

namespace TurfWatch.Host.Jobs;

/// <summary>When a message that was refused for now is tried again.</summary>
public static class DeliveryBackoff
{
    /// <summary>
    /// Full jitter: a random share of a ceiling that doubles with each attempt, so that messages refused together do not
    /// come back together. The ceiling never reaches beyond the window. A wait that the relay asks for is
    /// kept, with up to a tenth on top; it may reach beyond the window, and the message then expires.
    /// </summary>
    /// <param name="options">Base and cap.</param>
    /// <param name="attempts">Attempts made, 1 or more.</param>
    /// <param name="asked">The wait that the relay asked for, or null.</param>
    /// <param name="left">What is left of the window.</param>
    /// <param name="random">A number in [0, 1).</param>
    public static Duration Delay(
        DeliveryOptions options,
        int attempts,
        TimeSpan? asked,
        Duration left,
        double random
    )
    {
        if (asked is { } wait && wait > TimeSpan.Zero)
        {
            return Duration.FromTimeSpan(wait) * (1 + random / 10);
        }

        var doubled =
            Duration.FromTimeSpan(options.BackoffBase)
            * Math.Pow(2, Math.Clamp(attempts - 1, 0, 30));
        var ceiling = Duration.Min(doubled, Duration.FromTimeSpan(options.BackoffCap));
        return Duration.Max(Duration.Zero, Duration.Min(ceiling, left)) * random;
    }
}
