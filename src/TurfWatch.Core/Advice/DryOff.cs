using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>When wet leaves will be dry, as a range.</summary>
/// <param name="Earliest">Earliest likely: the chance of wet leaves falls through 90 %.</param>
/// <param name="Median">Even odds: it falls through 50 %.</param>
/// <param name="Latest">Latest likely, the safe end: it falls through 10 %.</param>
/// <remarks>A bound is null when it is not reached in what is left of the day; a bound already passed is the present.</remarks>
public readonly record struct DryOff(Instant? Earliest, Instant? Median, Instant? Latest)
{
    /// <summary>The range for <paramref name="morning"/>, to the quarter hour; null when the leaves are dry already or nothing is known.</summary>
    public static DryOff? Of(Morning morning)
    {
        var now = morning.Ahead.Start;
        if (!(WetChance.At(morning.Site, now) >= WetChance.SafePercent))
        {
            return null;
        }

        return new(
            Told(WetChance.FallsBelow(morning, 90), Clock.Down),
            Told(WetChance.FallsBelow(morning, 50), Clock.Near),
            Told(WetChance.FallsBelow(morning, WetChance.SafePercent), Clock.Up)
        );

        Instant? Told(Instant? instant, Func<Instant, Instant> round) =>
            instant is { } i ? Instant.Max(round(i), now) : null;
    }
}
