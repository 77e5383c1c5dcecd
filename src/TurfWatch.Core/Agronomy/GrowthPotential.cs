namespace TurfWatch.Core.Agronomy;

/// <summary>How well a temperature suits a grass.</summary>
public static class GrowthPotential
{
    /// <summary>
    /// Growth potential of a grass at a daily or monthly mean temperature:
    /// GP = exp(−½((T − T₀)/σ)²), with T₀ = 20 °C, σ = 5.5 °C for cool-season and 31 °C, 7 °C for
    /// warm-season grasses; a warm-season grass stays at 1 above its optimum.
    /// </summary>
    /// <remarks>
    /// Gelernter &amp; Stowell 2005, "Improved overseeding programs 1: the role of weather", Golf Course
    /// Management; the plateau above 31 °C is their later revision. The Celsius spreads are used, not the
    /// Fahrenheit ones of 10 and 12, which are no exact conversion.
    /// </remarks>
    /// <param name="grass">The grass.</param>
    /// <param name="meanTemperatureC">Mean air temperature of a day or longer [°C], −60 to 60.</param>
    /// <returns>0 (no growth) to 1 (as fast as the grass grows); NaN for NaN.</returns>
    public static double Of(Grass grass, double meanTemperatureC)
    {
        if (double.IsNaN(meanTemperatureC))
        {
            return double.NaN;
        }

        if (meanTemperatureC is < -60 or > 60)
        {
            throw new ArgumentOutOfRangeException(
                nameof(meanTemperatureC),
                meanTemperatureC,
                "a mean air temperature lies between -60 and 60 °C; is it in °F?"
            );
        }

        var optimum = grass.GrowthOptimumC.Value;
        if (grass.Season == GrassSeason.Warm && meanTemperatureC >= optimum)
        {
            return 1;
        }

        var distance = (meanTemperatureC - optimum) / grass.GrowthSpreadC.Value;
        return Math.Exp(-0.5 * distance * distance);
    }
}
