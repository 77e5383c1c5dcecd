namespace TurfWatch.Core.Physics;

/// <summary>Thermodynamic wet-bulb temperature.</summary>
public static class WetBulb
{
    /// <summary>Wet-bulb temperature by adiabatic saturation, over ice below 0 °C [°C].</summary>
    /// <param name="tempC">Air temperature [°C], −100 to 100.</param>
    /// <param name="rhPercent">Relative humidity over water [%]; cut to 0–100.</param>
    /// <param name="pressureHPa">Air pressure [hPa], 250 to 1150.</param>
    /// <remarks>
    /// Solves W(T, T*) = W for T*, with W = ((2501 − 2.326 T*) W_s* − 1.006 (T − T*)) / (2501 + 1.86 T − 4.186 T*)
    /// and below freezing W = ((2830 − 0.24 T*) W_s* − 1.006 (T − T*)) / (2830 + 1.86 T − 2.1 T*).
    /// ASHRAE Handbook Fundamentals (2017) ch. 1 eqs. 20, 33 and 35. The heat of fusion makes W jump at 0 °C: where no
    /// T* fits, 0 is returned. Below 0 °C air that is saturated over water is supersaturated over ice; the answer is
    /// then the air temperature. Solved to 0.0001 K.
    /// </remarks>
    public static double Celsius(double tempC, double rhPercent, double pressureHPa)
    {
        Guard.PressureHPa(pressureHPa);
        var vapour = Psychrometrics.VapourPressureHPa(tempC, rhPercent);
        var w = HumidityRatio(vapour, pressureHPa);
        if (double.IsNaN(w))
        {
            return double.NaN;
        }

        // Adiabatic saturation lies between the driest limit and the air itself.
        double low = Math.Max(-100, tempC - 60);
        var high = tempC;
        while (high - low > 1e-4)
        {
            var middle = (low + high) / 2;
            if (HumidityRatioFromWetBulb(tempC, middle, pressureHPa) < w)
            {
                low = middle;
            }
            else
            {
                high = middle;
            }
        }

        return (low + high) / 2;
    }

    private static double HumidityRatio(double vapourHPa, double pressureHPa) =>
        0.621945 * vapourHPa / (pressureHPa - vapourHPa);

    private static double HumidityRatioFromWetBulb(double tempC, double wetC, double pressureHPa)
    {
        if (wetC >= 0)
        {
            var water = HumidityRatio(
                Psychrometrics.SaturationVapourPressureHPa(wetC),
                pressureHPa
            );
            return ((2501 - 2.326 * wetC) * water - 1.006 * (tempC - wetC))
                / (2501 + 1.86 * tempC - 4.186 * wetC);
        }

        var ice = HumidityRatio(Psychrometrics.SaturationVapourPressureIceHPa(wetC), pressureHPa);
        return ((2830 - 0.24 * wetC) * ice - 1.006 * (tempC - wetC))
            / (2830 + 1.86 * tempC - 2.1 * wetC);
    }
}
