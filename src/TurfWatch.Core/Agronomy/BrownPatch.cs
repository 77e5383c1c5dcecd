namespace TurfWatch.Core.Agronomy;

/// <summary>Weather for brown patch of ryegrass and tall fescue.</summary>
public static class BrownPatch
{
    /// <summary>Index from which the authors warn.</summary>
    public const double Mark = 6;

    /// <summary>Least night minimum at which the disease was seen to start [°C].</summary>
    public const double LeastC = 16;

    /// <summary>Environmental favourability: E = −21.5 + 0.15 RH + 1.4 T − 0.033 T².</summary>
    /// <remarks>
    /// Fidanza, Dernoeden and Grybauskas (1996), Phytopathology 86:385, on perennial ryegrass; a warning from E = 6 was
    /// right for 85 % of the outbreaks. The University of Kentucky found 5 the better mark there (Vincelli).
    /// </remarks>
    /// <param name="meanHumidityPercent">Mean relative humidity of the day [%], 0 to 100.</param>
    /// <param name="minTemperatureC">Least air temperature of the day [°C], −60 to 60.</param>
    /// <returns>The index; NaN for NaN.</returns>
    public static double Index(double meanHumidityPercent, double minTemperatureC)
    {
        if (meanHumidityPercent is < 0 or > 100)
        {
            throw new ArgumentOutOfRangeException(
                nameof(meanHumidityPercent),
                meanHumidityPercent,
                "a mean relative humidity lies between 0 and 100 %"
            );
        }

        if (minTemperatureC is < -60 or > 60)
        {
            throw new ArgumentOutOfRangeException(
                nameof(minTemperatureC),
                minTemperatureC,
                "a daily minimum lies between -60 and 60 °C; is it in °F?"
            );
        }

        return -21.5
            + (0.15 * meanHumidityPercent)
            + (1.4 * minTemperatureC)
            - (0.033 * minTemperatureC * minTemperatureC);
    }

    /// <summary>Whether a day calls for a caution: the index at its mark and the night no cooler than <see cref="LeastC"/>.</summary>
    public static bool Favours(double meanHumidityPercent, double minTemperatureC) =>
        minTemperatureC >= LeastC && Index(meanHumidityPercent, minTemperatureC) >= Mark;
}
