using NodaTime;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Spreads messages that are due at the same minute, so that thousands do not meet the relay at once. The
/// same lawn always waits the same share of the spread.
/// </summary>
internal static class MorningSpread
{
    /// <summary>From so many mornings on the whole spread is used; fewer need less of it, and a single one next to none.</summary>
    private const int Many = 50;

    // 2^64 over the golden ratio: its multiples fill the range evenly, however many there are (Knuth, The Art
    // of Computer Programming 3, 6.4).
    private const ulong Golden = 0x9E37_79B9_7F4A_7C15;

    public static Duration Of(TimeSpan most, int mornings) =>
        Duration.FromTimeSpan(most) * Math.Min(1.0, mornings / (double)Many);

    public static Duration Delay(long lawnId, Duration spread) =>
        spread * (unchecked((ulong)lawnId * Golden) / Math.Pow(2, 64));
}
