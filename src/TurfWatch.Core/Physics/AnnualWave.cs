namespace TurfWatch.Core.Physics;

/// <summary>The year's wave of temperature: mean, half range and day of the crest.</summary>
/// <param name="MeanC">Mean of the year [°C].</param>
/// <param name="AmplitudeK">Half of the range between crest and trough [K].</param>
/// <param name="WarmestDay">Day of the year of the crest, 1 to 366.</param>
internal readonly record struct AnnualWave(double MeanC, double AmplitudeK, double WarmestDay)
{
    private const double DaysPerYear = 365.25;
    private const double DampingDepthM = 2.2;

    /// <summary>
    /// The first harmonic of the usual daily means: a = 2/n Σ T cos ωt, b = 2/n Σ T sin ωt, amplitude √(a² + b²), crest
    /// at atan2(b, a)/ω.
    /// </summary>
    /// <returns>Null when a day of the year is not known.</returns>
    public static AnnualWave? Of(PlaceClimate climate)
    {
        var n = climate.MeanC.Count;
        double mean = 0,
            a = 0,
            b = 0;
        for (var i = 0; i < n; i++)
        {
            var angle = 2 * Math.PI * i / n;
            mean += climate.MeanC[i] / n;
            a += 2 * climate.MeanC[i] * Math.Cos(angle) / n;
            b += 2 * climate.MeanC[i] * Math.Sin(angle) / n;
        }

        if (double.IsNaN(mean))
        {
            return null;
        }

        var crest = Math.Atan2(b, a) / (2 * Math.PI) * DaysPerYear;
        return new(
            mean,
            Math.Sqrt((a * a) + (b * b)),
            1 + (crest < 0 ? crest + DaysPerYear : crest)
        );
    }

    /// <summary>
    /// T(z, t) = Tm + A exp(-z/D) cos(ω(t - tw) - z/D) in uniform soil (Hillel 1982), D = 2.2 m for the year.
    /// </summary>
    /// <param name="dayOfYear">Day of the year, from 1.</param>
    /// <param name="depthM">Depth [m].</param>
    public double AtC(double dayOfYear, double depthM)
    {
        var z = depthM / DampingDepthM;
        var phase = (2 * Math.PI * (dayOfYear - WarmestDay) / DaysPerYear) - z;
        return MeanC + (AmplitudeK * Math.Exp(-z) * Math.Cos(phase));
    }
}
