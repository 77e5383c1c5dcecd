namespace TurfWatch.Core.Physics;

/// <summary>
/// What a humidity sensor reads in saturated air. Many capacitive sensors stop at 95-98 %; taken at their word
/// they would never let dew form. Where nine in ten daily maxima of a month lie below some reading of at least
/// 92 %, that reading is taken to mean saturation; a dry place, whose maxima are lower, is left alone.
/// </summary>
/// <remarks>Judgement, no source; docs/science/leaf-wetness.md.</remarks>
internal static class HumidityCeiling
{
    private const int Days = 30;
    private const int FewestDays = 20;
    private const double Rank = 0.9;
    private const double LeastPercent = 92;

    /// <summary>Reading that means saturation, for each hour [%]; 100 where there is no measured month to tell by.</summary>
    public static double[] Of(
        ReadOnlySpan<double> humidityPercent,
        ReadOnlySpan<HourOrigin> origins
    )
    {
        var n = humidityPercent.Length;
        var result = new double[n];
        Array.Fill(result, 100);
        var highest = new double[(n + 23) / 24];
        var month = new double[Days];
        if (highest.Length < FewestDays)
        {
            return result;
        }

        for (var d = 0; d < highest.Length; d++)
        {
            var end = Math.Min(n, (24 * d) + 24);
            for (var i = 24 * d; i < end; i++)
            {
                // A NaN compares false.
                if (origins[i].Kind == HourKind.Measured && humidityPercent[i] > highest[d])
                {
                    highest[d] = humidityPercent[i];
                }
            }
        }

        for (var d = 0; d < highest.Length; d++)
        {
            // The first days are judged by the days that follow.
            var last = Math.Max(d, FewestDays - 1);
            var count = Math.Min(last + 1, Days);
            highest.AsSpan(last + 1 - count, count).CopyTo(month);
            Array.Sort(month, 0, count);
            var ceiling = month[(int)(Rank * (count - 1))];
            if (ceiling is >= LeastPercent and < 100)
            {
                for (var i = 24 * d; i < Math.Min(n, (24 * d) + 24); i++)
                {
                    result[i] = origins[i].Kind == HourKind.Measured ? ceiling : 100;
                }
            }
        }

        return result;
    }
}
