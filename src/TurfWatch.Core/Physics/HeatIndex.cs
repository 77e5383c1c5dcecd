namespace TurfWatch.Core.Physics;

/// <summary>How hot it feels in the shade.</summary>
public static class HeatIndex
{
    /// <summary>Heat index [°C].</summary>
    /// <param name="tempC">Air temperature [°C].</param>
    /// <param name="rhPercent">Relative humidity [%]; cut to 0–100.</param>
    /// <remarks>
    /// In °F: the mean of T and 0.5 (T + 61 + 1.2 (T − 68) + 0.094 R) below 80; else the regression of Rothfusz (1990), NWS
    /// Technical Attachment SR 90-23, with the two adjustments of the NWS heat index equation page. Full sun can add up to
    /// 8 K (15 °F). Made for 80 °F and above; below 40 °F air temperature it is air temperature.
    /// </remarks>
    public static double Celsius(double tempC, double rhPercent)
    {
        Guard.Celsius(tempC);
        var t = tempC * 1.8 + 32;
        var r = Math.Clamp(rhPercent, 0, 100);
        if (t < 40)
        {
            return double.IsNaN(r) ? double.NaN : tempC;
        }

        var index = (t + 0.5 * (t + 61 + 1.2 * (t - 68) + 0.094 * r)) / 2;
        if (index >= 80)
        {
            index = Regression(t, r) + Adjustment(t, r);
        }

        return (index - 32) / 1.8;
    }

    private static double Regression(double t, double r) =>
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 0.00683783 * t * t
        - 0.05481717 * r * r
        + 0.00122874 * t * t * r
        + 0.00085282 * t * r * r
        - 0.00000199 * t * t * r * r;

    private static double Adjustment(double t, double r)
    {
        if (r < 13 && t is >= 80 and <= 112)
        {
            return -(13 - r) / 4 * Math.Sqrt((17 - Math.Abs(t - 95)) / 17);
        }

        return r > 85 && t is >= 80 and <= 87 ? (r - 85) / 10 * (87 - t) / 5 : 0;
    }
}
