namespace TurfWatch.Core.Agronomy;

/// <summary>Weather for dollar spot.</summary>
public static class DollarSpot
{
    /// <summary>Chance from which the authors' spraying began on creeping bentgrass; taken here as the mark of a caution.</summary>
    public const double Mark = 0.20;

    /// <summary>Days whose means count.</summary>
    public const int Days = 5;

    /// <summary>Coolest five-day mean for which the model holds [°C].</summary>
    public const double LeastC = 10;

    /// <summary>Warmest [°C].</summary>
    public const double MostC = 35;

    /// <summary>
    /// Chance of dollar spot on a day: P = 1/(1 + exp(−μ)), μ = −11.4041 + 0.0894 RH + 0.1932 T.
    /// </summary>
    /// <remarks>
    /// Smith et al. (2018), PLoS ONE 13:e0194216; the coefficients are second-hand, as public codes carry them. Made
    /// and tried on creeping bentgrass and other close-mown turf in seven states; for a home lawn it speaks of the
    /// weather, no more.
    /// </remarks>
    /// <param name="meanHumidityPercent">Mean of the daily mean relative humidities of five days [%], 0 to 100.</param>
    /// <param name="meanTemperatureC">Mean of the daily mean air temperatures of the same days [°C].</param>
    /// <returns>0 to 1; NaN for NaN and outside 10 to 35 °C, where the model says nothing.</returns>
    public static double Chance(double meanHumidityPercent, double meanTemperatureC)
    {
        if (meanHumidityPercent is < 0 or > 100)
        {
            throw new ArgumentOutOfRangeException(
                nameof(meanHumidityPercent),
                meanHumidityPercent,
                "a mean relative humidity lies between 0 and 100 %"
            );
        }

        if (meanTemperatureC is < LeastC or > MostC)
        {
            return double.NaN;
        }

        var logit = -11.4041 + (0.0894 * meanHumidityPercent) + (0.1932 * meanTemperatureC);
        return 1 / (1 + Math.Exp(-logit));
    }
}
