namespace TurfWatch.Core.Physics;

/// <summary>How cold wind makes bare skin.</summary>
public static class WindChill
{
    /// <summary>Wind chill temperature [°C].</summary>
    /// <param name="tempC">Air temperature [°C].</param>
    /// <param name="windAt10mMS">Wind speed at 10 m [m/s].</param>
    /// <remarks>
    /// 13.12 + 0.6215 T − 11.37 V^0.16 + 0.3965 T V^0.16, V in km/h. NWS and Environment Canada (2001). Defined for T ≤ 10 °C
    /// and wind above 3 mph (4.8 km/h); elsewhere air temperature is returned.
    /// </remarks>
    public static double Celsius(double tempC, double windAt10mMS)
    {
        Guard.Celsius(tempC);
        Guard.Range(windAt10mMS, 0, 150, nameof(windAt10mMS), "give m/s, not negative");
        var v = windAt10mMS * 3.6;
        if (tempC > 10 || v <= 4.828)
        {
            return tempC;
        }

        var power = Math.Pow(v, 0.16);
        return 13.12 + 0.6215 * tempC - 11.37 * power + 0.3965 * tempC * power;
    }
}
