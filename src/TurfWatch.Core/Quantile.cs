namespace TurfWatch.Core;

/// <summary>Quantiles of a sample.</summary>
internal static class Quantile
{
    /// <summary>
    /// The value under which the share lies: place (n - 1) p among the ordered values, between neighbours linearly
    /// (Hyndman and Fan 1996, The American Statistician 50:361, definition 7).
    /// </summary>
    /// <param name="ordered">Values in order; infinite ones stand for "never", earlier or later than all.</param>
    /// <param name="share">Share p [0-1].</param>
    /// <returns>Not finite when the place falls among the infinite values, or there are none.</returns>
    public static double At(ReadOnlySpan<double> ordered, double share)
    {
        if (ordered.Length == 0)
        {
            return double.NaN;
        }

        var place = (ordered.Length - 1) * share;
        var low = (int)Math.Floor(place);
        var high = Math.Min(low + 1, ordered.Length - 1);
        var weight = place - low;

        // An infinite neighbour without weight is none.
        return weight == 0
            ? ordered[low]
            : ordered[low] + (weight * (ordered[high] - ordered[low]));
    }
}
