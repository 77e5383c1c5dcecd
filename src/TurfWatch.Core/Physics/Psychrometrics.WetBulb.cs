namespace TurfWatch.Core.Physics;

public static partial class Psychrometrics
{
    /// <summary>Thermodynamic wet-bulb temperature by adiabatic saturation, over ice below 0 °C [°C].</summary>
    /// <param name="tempC">Air temperature [°C], −100 to 60.</param>
    /// <param name="rhPercent">Relative humidity over water [%]; cut to 0–100.</param>
    /// <param name="pressureHPa">Air pressure [hPa], 250 to 1150.</param>
    /// <remarks>
    /// Solves W(T, T*) = W for T*, with W = ((2501 − 2.326 T*) W_s* − 1.006 (T − T*)) / (2501 + 1.86 T − 4.186 T*)
    /// and below freezing W = ((2830 − 0.24 T*) W_s* − 1.006 (T − T*)) / (2830 + 1.86 T − 2.1 T*).
    /// ASHRAE Handbook Fundamentals (2017) ch. 1 eqs. 20, 33 and 35. Around 0 °C both a wet and an iced wick have a
    /// solution; the wet one is taken. Below 0 °C air that is saturated over water is supersaturated over ice; the
    /// answer is then the air temperature. Solved to 0.0001 K.
    /// </remarks>
    public static double WetBulbC(double tempC, double rhPercent, double pressureHPa)
    {
        Guard.Range(tempC, -100, 60, nameof(tempC), "give °C, not K or °F");
        Guard.PressureHPa(pressureHPa);
        var w = HumidityRatio(VapourPressureHPa(tempC, rhPercent), pressureHPa);
        if (double.IsNaN(w))
        {
            return double.NaN;
        }

        var wet = tempC >= 0 && w >= OverWater(tempC, 0, pressureHPa);
        var low = wet ? 0 : Math.Max(-100, tempC - 80);
        var high = wet ? tempC : Math.Min(0, tempC);
        while (high - low > 1e-4)
        {
            var middle = (low + high) / 2;
            var tried = wet
                ? OverWater(tempC, middle, pressureHPa)
                : OverIce(tempC, middle, pressureHPa);
            (low, high) = tried < w ? (middle, high) : (low, middle);
        }

        return (low + high) / 2;
    }

    private static double HumidityRatio(double vapourHPa, double pressureHPa) =>
        0.621945 * vapourHPa / (pressureHPa - vapourHPa);

    private static double OverWater(double tempC, double wetC, double pressureHPa)
    {
        var saturated = HumidityRatio(SaturationVapourPressureHPa(wetC), pressureHPa);
        return ((2501 - 2.326 * wetC) * saturated - 1.006 * (tempC - wetC))
            / (2501 + 1.86 * tempC - 4.186 * wetC);
    }

    private static double OverIce(double tempC, double wetC, double pressureHPa)
    {
        var saturated = HumidityRatio(SaturationVapourPressureIceHPa(wetC), pressureHPa);
        return ((2830 - 0.24 * wetC) * saturated - 1.006 * (tempC - wetC))
            / (2830 + 1.86 * tempC - 2.1 * wetC);
    }
}
