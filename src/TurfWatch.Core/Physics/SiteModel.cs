using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>What a run found, and the state to go on from next time.</summary>
/// <param name="Conditions">Conditions of every hour after the state the run began with.</param>
/// <param name="StateToKeep">The state of about three days before now, so that observations that come late are still taken in.</param>
public sealed record SiteRun(SiteConditions Conditions, SiteState StateToKeep);

/// <summary>Weather in, conditions of the lawn out: soil, leaves, water, with their doubt.</summary>
public static class SiteModel
{
    /// <summary>The kept state lies this far before now.</summary>
    public static readonly Duration KeptBefore = Duration.FromHours(72);

    // A state is gone on from over a hole in the weather up to this; beyond it the soil is guessed afresh.
    internal const int LongestGapHours = 5 * 24;

    /// <summary>Standard deviation of the model's own error of soil temperature [°C]; docs/science/validation.md.</summary>
    internal const double StdDevC = 1.5;

    /// <summary>Runs the model.</summary>
    /// <param name="site">Where it is.</param>
    /// <param name="surface">What the lawn is.</param>
    /// <param name="weather">Past and coming hours in one series.</param>
    /// <param name="now">Splits past from forecast.</param>
    /// <param name="carried">State kept from an earlier run; null, or too old to go on from, means the soil is guessed and spun up on all hours before now.</param>
    /// <param name="cover">What stands on the soil; a lawn unless told.</param>
    /// <param name="climate">What is usual at the place: a guess of the soil begins from it instead of from the latitude.</param>
    /// <param name="readings">A thermometer's readings of this lawn's soil; they correct the soil temperatures from their hour on (<see cref="SoilCorrection"/>), not the state to keep.</param>
    /// <param name="made">The hours made ready of this site and this weather, for who runs several surfaces over them; null means that it is done here.</param>
    /// <exception cref="ArgumentOutOfRangeException">The site does not lie on earth.</exception>
    public static SiteRun Run(
        SiteDescription site,
        SurfaceClass surface,
        WeatherSeries weather,
        Instant now,
        SiteState? carried = null,
        GroundCover cover = GroundCover.Turf,
        PlaceClimate? climate = null,
        IReadOnlyList<SoilReading>? readings = null,
        SiteHours? made = null
    )
    {
        var result = Runner(site, surface, weather, now, ref carried, cover, climate, made)
            .Run(carried);
        return readings is null
            ? result
            : result with
            {
                Conditions = SoilCorrection.Apply(result.Conditions, readings),
            };
    }

    /// <summary>The <see cref="SiteRun.StateToKeep"/> of <see cref="Run"/> alone, which takes a fraction of its time.</summary>
    /// <inheritdoc cref="Run"/>
    public static SiteState StateToKeep(
        SiteDescription site,
        SurfaceClass surface,
        WeatherSeries weather,
        Instant now,
        SiteState? carried = null,
        PlaceClimate? climate = null
    ) =>
        Runner(site, surface, weather, now, ref carried, GroundCover.Turf, climate, null)
            .StateToKeep(carried);

    private static SiteRunner Runner(
        SiteDescription site,
        SurfaceClass surface,
        WeatherSeries weather,
        Instant now,
        ref SiteState? carried,
        GroundCover cover,
        PlaceClimate? climate,
        SiteHours? made
    )
    {
        Guard.Latitude(site.LatitudeDeg);
        Guard.Longitude(site.LongitudeDeg);
        Guard.Range(site.ElevationM, -500, 9000, nameof(site.ElevationM), "give metres");
        if (carried is not null && !CanGoOn(carried, weather))
        {
            carried = null;
        }

        var all = made?.For(site, weather) ?? SiteForcing.Make(site, weather);
        var skip = carried is null
            ? 0
            : Math.Clamp(
                weather.IndexOf(carried.ValidAt + Duration.FromHours(1)),
                0,
                weather.Count
            );
        return new(
            site,
            SurfaceParameters.For(surface, cover),
            carried is null ? weather : weather.Slice(weather.HourEnd(skip), weather.LastHourEnd),
            all.AsMemory(skip),
            now,
            climate
        );
    }

    internal static bool CanGoOn(SiteState carried, WeatherSeries weather) =>
        carried.SoilTemperaturesC.Count == SoilGrid.Layers
        && carried.SoilWaterMm.Count == SoilWater.Zones
        && weather.Count > 0
        && weather.FirstHourEnd - carried.ValidAt <= Duration.FromHours(LongestGapHours + 1)
        && carried.ValidAt < weather.LastHourEnd;
}
