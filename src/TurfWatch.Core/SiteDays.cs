using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// Weather and soil of one cell and surface class, day by local day. All columns have <see cref="Count"/> entries;
/// what is not known is NaN.
/// </summary>
public sealed partial record SiteDays
{
    /// <summary>The first day.</summary>
    public required LocalDate First { get; init; }

    /// <summary>Number of days.</summary>
    public int Count => Soil10CmC.Length;

    /// <summary>Soil temperature at 5 cm (2 in), mean of the day [°C].</summary>
    public required double[] Soil5CmC { get; init; }

    /// <summary>Soil temperature at 10 cm (4 in), mean of the day [°C].</summary>
    public required double[] Soil10CmC { get; init; }

    /// <summary>Air temperature, mean of the day [°C].</summary>
    public required double[] AirMeanC { get; init; }

    /// <summary>Air temperature, least of the day [°C].</summary>
    public required double[] AirMinC { get; init; }

    /// <summary>Air temperature, most of the day [°C].</summary>
    public required double[] AirMaxC { get; init; }

    /// <summary>Rain and melted snow [mm].</summary>
    public required double[] RainMm { get; init; }

    /// <summary>Reference evapotranspiration, short grass [mm].</summary>
    public required double[] Et0Mm { get; init; }

    /// <summary>Global radiation on the level [MJ/m²].</summary>
    public required double[] ShortwaveMJM2 { get; init; }

    /// <summary>Relative humidity, mean of the day [%].</summary>
    public required double[] HumidityPercent { get; init; }

    /// <summary>Hours with wet leaves [0-24].</summary>
    public required double[] WetHours { get; init; }

    /// <summary>Plant-available water left in the root zone at the end of the day [0-1].</summary>
    public required double[] AvailableWater { get; init; }

    /// <summary>The day after the last.</summary>
    public LocalDate End => First.PlusDays(Count);

    /// <summary>The day of an index.</summary>
    public LocalDate Date(int index) => First.PlusDays(index);

    /// <summary>The index of a day; may lie outside.</summary>
    public int IndexOf(LocalDate date) => Period.DaysBetween(First, date);
}
