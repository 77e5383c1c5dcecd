namespace TurfWatch.Core.Physics;

/// <summary>
/// Soil to begin with where no state was kept: a wave of the year through the depth, from what the latitude and
/// the season suggest, drawn towards the air temperature that is known.
/// </summary>
/// <remarks>
/// With the climate of the place: mean, half range and phase of the year's wave of the usual daily mean temperature.
/// Without it: yearly mean air temperature of a place in North America about 27 - 0.0095 φ² °C less 5 K per km of height,
/// half the yearly range 0.36 |φ| K, warmest at the end of July (January in the south): rough fits from memory, unverified,
/// good to about 4 K. The wave is damped and delayed with depth as in a uniform soil (Hillel 1982) of damping depth 2.2 m.
/// </remarks>
internal static class FirstGuess
{
    /// <summary>Standard deviation of the guess near the surface, made from the latitude [°C].</summary>
    public const double StdDevC = 3.5;

    /// <summary>The same, made from the climate of the place [°C]; measured, docs/science/soil-column.md.</summary>
    public const double StdDevWithClimateC = 2.5;

    private const int KnownHours = 10 * 24;

    /// <summary>Standard deviation of the guess that <see cref="Fill"/> makes with this climate [°C].</summary>
    public static double StdDevOf(PlaceClimate? climate) =>
        climate is not null && AnnualWave.Of(climate) is not null ? StdDevWithClimateC : StdDevC;

    public static void Fill(
        SiteKernelState state,
        SiteDescription site,
        in SurfaceParameters surface,
        ReadOnlySpan<SiteHour> hours,
        int dayOfYear,
        PlaceClimate? climate = null
    )
    {
        var known = climate is null ? null : AnnualWave.Of(climate);
        var wave = known ?? OfLatitude(site);
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

        var air = count == 0 ? double.NaN : sum / count;
        if (known is null)
        {
            // A whole year of hours tells the mean better than the latitude does.
            var anomaly = count == 0 ? 0 : air - wave.AtC(dayOfYear, 0);
            wave = wave with
            {
                MeanC = allCount > 365 * 24 ? all / allCount : wave.MeanC + (0.5 * anomaly),
            };
        }

        var surfaceAnomaly = count == 0 ? 0 : air - wave.AtC(dayOfYear, 0);
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            var z = SoilGrid.DepthM[i];
            state.SoilC[i] = wave.AtC(dayOfYear, z) + (surfaceAnomaly * Math.Exp(-z / 0.5));
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
        state.SnowMm = 0;
        state.SnowDepthM = 0;
        state.SeasonC = SoilGrid.TenCm.Of(state.SoilC);
    }

    private static AnnualWave OfLatitude(SiteDescription site)
    {
        var latitude = site.LatitudeDeg;
        return new(
            27 - (0.0095 * latitude * latitude) - (0.005 * site.ElevationM),
            0.36 * Math.Abs(latitude),
            latitude >= 0 ? 205 : 22
        );
    }
}
