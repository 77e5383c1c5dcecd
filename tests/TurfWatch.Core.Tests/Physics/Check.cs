using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>Comparison with a printed value.</summary>
internal static class Check
{
    /// <summary>
    /// Fails when the values differ by more than the tolerance, and when the tolerance is so wide that it could swallow
    /// the value: then zero, or half of it, would pass too.
    /// </summary>
    public static void Near(double expected, double actual, double tolerance)
    {
        Assert.True(
            expected == 0 || tolerance < Math.Abs(expected) / 3,
            $"a tolerance of {tolerance} swallows the value {expected}"
        );
        Assert.True(
            Math.Abs(expected - actual) <= tolerance,
            $"expected {expected} ± {tolerance}, found {actual}"
        );
    }

    /// <summary>The same with a tolerance relative to the expected value.</summary>
    public static void Close(double expected, double actual, double relative) =>
        Near(expected, actual, relative * Math.Abs(expected));
}
