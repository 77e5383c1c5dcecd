namespace TurfWatch.Core;

/// <summary>The columns of a <see cref="WeatherSeries"/>. The unit is in the name.</summary>
public enum WeatherColumn
{
    /// <summary>Air temperature near 2 m, mean of the hour [°C].</summary>
    AirTemperatureC,

    /// <summary>Dew point near 2 m [°C].</summary>
    DewPointC,

    /// <summary>Relative humidity near 2 m over water [0–100 %].</summary>
    RelativeHumidityPercent,

    /// <summary>Wind speed at the series' wind height, mean of the hour [m/s].</summary>
    WindSpeedMS,

    /// <summary>Highest gust of the hour [m/s].</summary>
    WindGustMS,

    /// <summary>Global (short-wave) radiation on the level, mean of the hour [W/m²].</summary>
    ShortwaveWM2,

    /// <summary>Downward long-wave radiation, mean of the hour [W/m²].</summary>
    LongwaveDownWM2,

    /// <summary>Share of the sky covered by cloud [0–100 %].</summary>
    CloudCoverPercent,

    /// <summary>Precipitation in the hour [mm].</summary>
    PrecipitationMm,

    /// <summary>Chance of measurable precipitation in the hour [0–100 %].</summary>
    PrecipitationProbabilityPercent,
}
