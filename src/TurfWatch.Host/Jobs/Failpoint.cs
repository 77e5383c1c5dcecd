using System.Diagnostics;
using System.Globalization;
using TurfWatch.Core;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Dies on the spot, as by SIGKILL, at a moment of a delivery that a kill from outside cannot hit for sure. For the
/// fault tests only: without TURFWATCH_FAILPOINT in the environment nothing here does anything. It reads
/// <c>point</c>, <c>point:3</c> (at the third time) or <c>point@r7</c> (only a message whose recipient begins so).
/// Points: after-claim (rows are held, nothing begun), after-250 (the relay took it, nothing is written),
/// after-commit (its end is written, the next is not begun).
/// </summary>
internal static class Failpoint
{
    public const string Variable = "TURFWATCH_FAILPOINT";
    public const string AfterClaim = "after-claim";
    public const string After250 = "after-250";
    public const string AfterCommit = "after-commit";

    private static readonly string? Set = Environment.GetEnvironmentVariable(Variable);
    private static int _passed;

    public static void Pass(string point, IReadOnlyList<OutboxMessage> messages)
    {
        if (Set is null || !Set.StartsWith(point, StringComparison.Ordinal))
        {
            return;
        }

        var rest = Set.AsSpan(point.Length);
        var hit = rest switch
        {
            "" => messages.Count > 0,
            [':', .. var times] => messages.Count > 0
                && Interlocked.Increment(ref _passed)
                    >= int.Parse(times, CultureInfo.InvariantCulture),
            ['@', .. var recipient] => Any(messages, recipient),
            _ => false,
        };
        if (hit)
        {
            // SIGKILL: no handler, no clean-up, nothing flushed.
            Process.GetCurrentProcess().Kill();
            Thread.Sleep(Timeout.Infinite);
        }
    }

    private static bool Any(IReadOnlyList<OutboxMessage> messages, ReadOnlySpan<char> recipient)
    {
        foreach (var message in messages)
        {
            if (message.Recipient.AsSpan().StartsWith(recipient, StringComparison.Ordinal))
            {
                return true;
            }
        }

        return false;
    }
}
