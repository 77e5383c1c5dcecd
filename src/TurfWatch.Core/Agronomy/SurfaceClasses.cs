using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>What the physics must know of a lawn on a date.</summary>
public static class SurfaceClasses
{
    /// <summary>
    /// The surface class of <paramref name="lawn"/>: canopy green or at rest by
    /// <see cref="GrowingGrass"/>; an overseeded lawn in winter is green and drinks as a cool-season one.
    /// </summary>
    /// <param name="lawn">The lawn.</param>
    /// <param name="date">The local date.</param>
    /// <param name="soilTemperature10CmMeanC">Mean soil temperature of the last days at 10 cm [°C]; null or NaN when unknown.</param>
    public static SurfaceClass For(Lawn lawn, LocalDate date, double? soilTemperature10CmMeanC)
    {
        var growing = GrowingGrass.On(lawn, date, soilTemperature10CmMeanC);
        return new(
            growing.Canopy,
            lawn.Shade,
            lawn.Irrigated,
            lawn.Soil,
            growing.Grass.Season == GrassSeason.Warm
        );
    }
}
