namespace TurfWatch.Core.Physics;

/// <summary>Temperature through a day from its minimum and maximum: a truncated sine by day, an exponential fall by night.</summary>
/// <remarks>
/// Day: T = T_n + (T_x - T_n) sin(π m/(Y + 2a)), m hours after the minimum; night: T = T_n + (T_set - T_n) exp(-b n/Z), n hours after
/// sunset. Parton and Logan (1981), Agric. Meteorol. 23:205, eqs. 1-2; a = 1.86 h, b = 2.20 and the minimum 0.17 h before
/// sunrise are theirs for air at 1.5 m at Denver. The night runs to the next day's minimum, and is stretched so that it ends
/// at it (Goudriaan and van Laar 1994). Y is the length of the day (FAO-56 eq. 34), Z = 24 - Y. The curve of the calendar day is then
/// drawn to its minimum and maximum, and bent by a power so that its mean is the day's, where that is known and lies between them.
/// </remarks>
internal static class DiurnalTemperature
{
    private const double MaximumLagH = 1.86;
    private const double NightFall = 2.20;
    private const double MinimumLagH = -0.17;

    // Beyond these the day's three figures do not belong to one another, and the mean is not met.
    private const double LeastPower = 0.02;
    private const double MostPower = 2000;
    private const int MostRounds = 100;

    /// <summary>Fills the hours of one day.</summary>
    /// <param name="latitudeDeg">Degrees north.</param>
    /// <param name="day">The day: minimum and maximum known.</param>
    /// <param name="before">The day before.</param>
    /// <param name="after">The day after.</param>
    /// <param name="middle">Solar time of each hour's middle, counted from the midnight that begins the day [h].</param>
    /// <param name="air">Receives the temperatures [°C].</param>
    public static void Fill(
        double latitudeDeg,
        in ClimateDay day,
        in ClimateDay before,
        in ClimateDay after,
        ReadOnlySpan<double> middle,
        Span<double> air
    )
    {
        var light = DayLengthH(latitudeDeg, day.Date.DayOfYear);
        var (low, high) = (day.MinC, Math.Max(day.MinC, day.MaxC));
        var lowBefore = double.IsNaN(before.MinC) ? low : before.MinC;
        var highBefore = double.IsNaN(before.MaxC) ? high : Math.Max(lowBefore, before.MaxC);
        var lowAfter = double.IsNaN(after.MinC) ? low : after.MinC;
        var rise = 12 - (light / 2) + MinimumLagH;
        var set = 12 + (light / 2);
        for (var h = 0; h < air.Length; h++)
        {
            var t = middle[h];
            air[h] =
                t < rise ? Night(t + 24 - set, light, AtSunset(lowBefore, highBefore, light), low)
                : t <= set ? Day(t - rise, light, low, high)
                : Night(t - set, light, AtSunset(low, high, light), lowAfter);
        }

        Draw(air, low, high, day.MeanC);
    }

    /// <summary>Hours of daylight: N = 24 ω_s/π (FAO-56 eqs. 24, 25, 34); 0 or 24 in polar night or day.</summary>
    public static double DayLengthH(double latitudeDeg, int dayOfYear)
    {
        var declination = 0.409 * Math.Sin((2 * Math.PI * dayOfYear / 365) - 1.39);
        var cos = -Math.Tan(latitudeDeg * Math.PI / 180) * Math.Tan(declination);
        return 24 / Math.PI * Math.Acos(Math.Clamp(cos, -1, 1));
    }

    /// <summary>The day's branch; <paramref name="m"/> hours after the minimum [°C].</summary>
    public static double Day(
        double m,
        double lightH,
        double lowC,
        double highC,
        double lagH = MaximumLagH
    ) => lowC + ((highC - lowC) * Math.Sin(Math.PI * m / (lightH + (2 * lagH))));

    /// <summary>The night's branch; <paramref name="n"/> hours after sunset, from the temperature at sunset down to the minimum to come [°C].</summary>
    public static double Night(double n, double lightH, double sunsetC, double lowC)
    {
        var length = Math.Max(1, 24 - lightH + MinimumLagH);
        var end = Math.Exp(-NightFall);
        var fall = (Math.Exp(-NightFall * Math.Min(1, n / length)) - end) / (1 - end);
        return lowC + ((sunsetC - lowC) * fall);
    }

    private static double AtSunset(double lowC, double highC, double lightH) =>
        Day(lightH - MinimumLagH, lightH, lowC, highC);

    private static void Draw(Span<double> air, double low, double high, double mean)
    {
        double least = double.PositiveInfinity,
            most = double.NegativeInfinity;
        foreach (var value in air)
        {
            least = Math.Min(least, value);
            most = Math.Max(most, value);
        }

        if (most <= least || high <= low)
        {
            air.Fill(double.IsNaN(mean) ? (low + high) / 2 : Math.Clamp(mean, low, high));
            return;
        }

        foreach (ref var value in air)
        {
            value = (value - least) / (most - least);
        }

        var wanted = (mean - low) / (high - low);
        var power = wanted > 0 && wanted < 1 ? PowerFor(air, wanted) : 1;
        foreach (ref var value in air)
        {
            value = low + ((high - low) * Math.Pow(value, power));
        }
    }

    // The mean of the powers falls as the power grows, ever slower: Newton's tangents close in from the left.
    private static double PowerFor(ReadOnlySpan<double> shares, double wanted)
    {
        Span<double> logs = stackalloc double[shares.Length];
        for (var h = 0; h < logs.Length; h++)
        {
            logs[h] = Math.Log(Math.Max(1e-300, shares[h]));
        }

        var power = 1.0;
        for (var round = 0; round < MostRounds; round++)
        {
            double sum = 0,
                slope = 0;
            foreach (var log in logs)
            {
                var share = Math.Exp(power * log);
                sum += share;
                slope += share * log;
            }

            var off = (sum / logs.Length) - wanted;
            if (Math.Abs(off) < 1e-10)
            {
                break;
            }

            power = Math.Clamp(power - (off * logs.Length / slope), LeastPower, MostPower);
        }

        return power;
    }
}
