namespace TurfWatch.Core.Physics;

/// <summary>Growing degree days of one day.</summary>
public static class DegreeDays
{
    /// <summary>Degree days from the day's mean, cut at the base [K d].</summary>
    /// <param name="maxTempC">Highest air temperature [°C].</param>
    /// <param name="minTempC">Lowest air temperature [°C].</param>
    /// <param name="baseTempC">Base temperature [°C].</param>
    /// <remarks>max(0, (T_x + T_n)/2 − T_b). McMaster and Wilhelm (1997), Agric. For. Meteorol. 87:291, method 1.</remarks>
    public static double Mean(double maxTempC, double minTempC, double baseTempC) =>
        Math.Max(0, (maxTempC + minTempC) / 2 - baseTempC);
}
