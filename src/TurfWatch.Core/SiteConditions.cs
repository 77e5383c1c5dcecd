using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// What the physics found for one cell and surface class, hour by hour, past and forecast. All
/// columns have <see cref="Count"/> entries, hour-ending, UTC; a value that could not be computed is NaN.
/// </summary>
public sealed record SiteConditions
{
    /// <summary>End of the first hour.</summary>
    public required Instant FirstHourEnd { get; init; }

    /// <summary>The weather the columns were computed from, hour for hour (same first hour, same count).</summary>
    public required WeatherSeries Weather { get; init; }

    /// <summary>Number of hours.</summary>
    public int Count => Weather.Count;

    /// <summary>Short-wave radiation used, given or derived, mean of the hour [W/m²].</summary>
    public required double[] ShortwaveWM2 { get; init; }

    /// <summary>Temperature of the grass leaves, mean of the hour [°C].</summary>
    public required double[] CanopyTemperatureC { get; init; }

    /// <summary>Soil temperature at 5 cm (2 in), at the end of the hour [°C].</summary>
    public required double[] SoilTemperature5CmC { get; init; }

    /// <summary>Soil temperature at 10 cm (4 in), at the end of the hour [°C].</summary>
    public required double[] SoilTemperature10CmC { get; init; }

    /// <summary>Standard deviation of the soil temperatures' error, weather history and model together [°C].</summary>
    public required double[] SoilTemperatureStdDevC { get; init; }

    /// <summary>Liquid water on the leaves at the end of the hour, whatever it came from [mm].</summary>
    public required double[] LeafWaterMm { get; init; }

    /// <summary>Of that, dew (condensed, not rained or sprinkled) [mm].</summary>
    public required double[] DewMm { get; init; }

    /// <summary>Ice on the leaves at the end of the hour: hoar frost or frozen dew [mm water].</summary>
    public required double[] FrostMm { get; init; }

    /// <summary>Share of the hour in which the grass is wet [0–100 %], central run.</summary>
    public required double[] LeafWetnessPercent { get; init; }

    /// <summary>
    /// Chance that the grass is wet (or white) at the end of the hour [0–100 %], over an ensemble of likely
    /// errors of the forecast and the model. Falls through 90, 50, 10 at the earliest likely, median and
    /// latest likely dry-off.
    /// </summary>
    public required double[] WetChancePercent { get; init; }

    /// <summary>Reference evapotranspiration of the hour, short grass [mm].</summary>
    public required double[] Et0Mm { get; init; }

    /// <summary>Plant-available water left in the root zone [0–1 of what it can hold].</summary>
    public required double[] AvailableWaterFraction { get; init; }

    /// <summary>
    /// Wetness of the top 5 cm between wilting point (0), field capacity (1) and saturation (above 1);
    /// tells whether the ground bears wheels.
    /// </summary>
    public required double[] SurfaceSoilWetness { get; init; }

    /// <summary>Days of weather that the soil column had been run on by the time of the run ("now"), kept state included.</summary>
    public required double SpinUpDays { get; init; }

    /// <summary>Share of those hours whose weather was known rather than bridged [0–1].</summary>
    public required double HistoryCoverage { get; init; }

    /// <summary>The owner's readings that the soil temperatures have taken in, oldest first.</summary>
    public IReadOnlyList<SoilReading> Readings { get; init; } = [];

    /// <summary>End of hour <paramref name="index"/>.</summary>
    public Instant HourEnd(int index) => FirstHourEnd + Duration.FromHours(index);

    /// <summary>Index of the hour that ends at or first after <paramref name="instant"/>; may lie outside.</summary>
    public int IndexOf(Instant instant) => Weather.IndexOf(instant);
}
