namespace TurfWatch.Core.Agronomy;

/// <summary>Weather for Pythium blight: a hot day and a warm night at dripping humidity.</summary>
public static class PythiumBlight
{
    /// <summary>The day's highest temperature must pass this [°C].</summary>
    public const double HotC = 30;

    /// <summary>Its lowest must stay above this [°C].</summary>
    public const double WarmNightC = 20;

    /// <summary>Relative humidity that must be passed [%].</summary>
    public const double HumidPercent = 90;

    /// <summary>Hours above it.</summary>
    public const int HumidHours = 14;

    /// <summary>
    /// Whether the 24 hours from noon to noon favour it: a maximum above 30 °C, then at least 14 hours above 90 %
    /// relative humidity with no hour of 20 °C or less.
    /// </summary>
    /// <remarks>Nutter, Cole and Schein (1983), Plant Disease 67:1126.</remarks>
    /// <param name="temperatureC">Hourly air temperatures from noon to noon [°C], 24 of them.</param>
    /// <param name="humidityPercent">Hourly relative humidities [%], 24 of them.</param>
    /// <returns>Null when an hour that would decide it is not known.</returns>
    public static bool? Favours(
        ReadOnlySpan<double> temperatureC,
        ReadOnlySpan<double> humidityPercent
    )
    {
        if (temperatureC.Length != 24 || humidityPercent.Length != 24)
        {
            throw new ArgumentOutOfRangeException(
                nameof(temperatureC),
                temperatureC.Length,
                "a day from noon to noon has 24 hourly values of each"
            );
        }

        double most = double.NegativeInfinity,
            least = double.PositiveInfinity;
        int humid = 0,
            unknown = 0;
        for (var i = 0; i < 24; i++)
        {
            if (double.IsNaN(temperatureC[i]) || double.IsNaN(humidityPercent[i]))
            {
                unknown++;
                continue;
            }

            most = Math.Max(most, temperatureC[i]);
            least = Math.Min(least, temperatureC[i]);
            humid += humidityPercent[i] > HumidPercent ? 1 : 0;
        }

        if (least <= WarmNightC || humid + unknown < HumidHours)
        {
            return false;
        }

        return unknown > 0 ? null : most > HotC && humid >= HumidHours;
    }
}
