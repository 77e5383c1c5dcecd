using NodaTime;

namespace TurfWatch.Core;

/// <summary>One past day at a place; NaN where not known.</summary>
/// <param name="Date">The day.</param>
/// <param name="MeanC">Mean temperature [°C].</param>
/// <param name="MinC">Minimum [°C].</param>
/// <param name="MaxC">Maximum [°C].</param>
/// <param name="RainMm">Rain and melted snow [mm].</param>
/// <param name="DewPointC">Mean dew point [°C].</param>
/// <param name="WindMS">Mean wind at 10 m [m/s].</param>
/// <param name="ShortwaveMJM2">Global radiation on the level [MJ/m²].</param>
public readonly record struct ClimateDay(
    LocalDate Date,
    double MeanC,
    double MinC,
    double MaxC,
    double RainMm,
    double DewPointC = double.NaN,
    double WindMS = double.NaN,
    double ShortwaveMJM2 = double.NaN
);
