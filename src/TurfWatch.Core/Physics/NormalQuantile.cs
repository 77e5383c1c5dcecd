namespace TurfWatch.Core.Physics;

/// <summary>Quantiles of the normal distribution of mean 0 and standard deviation 1.</summary>
internal static class NormalQuantile
{
    /// <summary>The value under which the share lies.</summary>
    /// <param name="share">Share [0-1], ends excluded.</param>
    /// <remarks>
    /// Abramowitz and Stegun (1964) eq. 26.2.23, error below 4.5e-4.
    /// </remarks>
    public static double Of(double share)
    {
        if (share > 0.5)
        {
            return -Of(1 - share);
        }

        var t = Math.Sqrt(-2 * Math.Log(share));
        return -(
            t
            - (
                (2.515517 + (t * (0.802853 + (t * 0.010328))))
                / (1 + (t * (1.432788 + (t * (0.189269 + (t * 0.001308))))))
            )
        );
    }
}
