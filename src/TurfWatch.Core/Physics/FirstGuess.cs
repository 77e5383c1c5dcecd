namespace TurfWatch.Core.Physics;

/// <summary>
/// Soil to begin with where no state was kept: a wave of the year through the depth, from what the latitude and
/// the season suggest, drawn towards the air temperature that is known.
/// </summary>
/// <remarks>
/// Yearly mean air temperature of a place in North America about 27 - 0.0095 φ² °C less 5 K per km of height, half the
/// yearly range 0.36 |φ| K, warmest at the end of July (January in the south): rough fits from memory, unverified, good
/// to about 4 K. The wave is damped and delayed with depth as in a uniform soil (Hillel 1982) of damping depth 2.2 m.
/// </remarks>
internal static class FirstGuess
{
    /// <summary>Standard deviation of the guess near the surface [°C].</summary>
    public const double StdDevC = 3.5;

    private const double DampingDepthM = 2.2;
    private const int KnownHours = 10 * 24;

    public static void Fill(
        SiteKernelState state,
        SiteDescription site,
        in SurfaceParameters surface,
        ReadOnlySpan<SiteHour> hours,
        int dayOfYear
    )
    {
        var latitude = site.LatitudeDeg;
        var mean = 27 - (0.0095 * latitude * latitude) - (0.005 * site.ElevationM);
        var amplitude = 0.36 * Math.Abs(latitude);
        var warmest = latitude >= 0 ? 205 : 22;
        double sum = 0,
            all = 0;
        int count = 0,
            allCount = 0;
        foreach (ref readonly var h in hours)
        {
            if (!h.Usable)
            {
                continue;
            }

            if (count < KnownHours)
            {
                sum += h.AirC;
                count++;
            }

            all += h.AirC;
            allCount++;
        }

        var anomaly =
            count == 0 ? 0 : (sum / count) - mean - (amplitude * Wave(dayOfYear, warmest, 0));

        // A whole year of hours tells the mean better than the latitude does.
        mean = allCount > 365 * 24 ? all / allCount : mean + (0.5 * anomaly);
        var surfaceAnomaly =
            count == 0 ? 0 : (sum / count) - mean - (amplitude * Wave(dayOfYear, warmest, 0));
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            var z = SoilGrid.DepthM[i];
            state.SoilC[i] =
                mean
                + (amplitude * Math.Exp(-z / DampingDepthM) * Wave(dayOfYear, warmest, z))
                + (surfaceAnomaly * Math.Exp(-z / 0.5));
        }

        Array.Clear(state.SoilIceMm);
        var soil = surface.Soil;
        var share = surface.Irrigated ? 0.8 : 0.6;
        for (var z = 0; z < SoilWater.Zones; z++)
        {
            state.SoilWaterMm[z] =
                SoilWater.DepthMm[z]
                * (soil.WiltingPoint + (share * (soil.FieldCapacity - soil.WiltingPoint)));
        }

        state.LeafWaterMm = 0;
        state.DewMm = 0;
        state.FrostMm = 0;
        state.SeasonC = SoilGrid.At(state.SoilC, 0.1);
    }

    private static double Wave(double dayOfYear, double warmest, double depthM) =>
        Math.Cos((2 * Math.PI * (dayOfYear - warmest) / 365.25) - (depthM / DampingDepthM));
}
