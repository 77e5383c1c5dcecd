using TurfWatch.Core;

namespace TurfWatch.Weather.OpenMeteo;

/// <summary>One hourly variable of Open-Meteo and the column it fills.</summary>
/// <param name="Name">Its name in the request.</param>
/// <param name="Column">Our column.</param>
/// <param name="Instant">True: the value is that of the moment, so an hour is the mean of its two ends. False: it is already the sum, mean or maximum of the hour that ends there.</param>
/// <param name="Unit">The unit that we asked for; in another one the variable is not used.</param>
/// <param name="Least">Anything below is taken as missing.</param>
/// <param name="Most">Anything above likewise.</param>
/// <param name="Values">Its array in the answer.</param>
internal sealed record OpenMeteoColumn(
    string Name,
    WeatherColumn Column,
    bool Instant,
    string Unit,
    double Least,
    double Most,
    Func<OpenMeteoHourly, double?[]?> Values
)
{
    public static readonly OpenMeteoColumn[] All =
    [
        new(
            "temperature_2m",
            WeatherColumn.AirTemperatureC,
            true,
            "°C",
            -80,
            60,
            h => h.Temperature
        ),
        new("dew_point_2m", WeatherColumn.DewPointC, true, "°C", -90, 40, h => h.DewPoint),
        new(
            "relative_humidity_2m",
            WeatherColumn.RelativeHumidityPercent,
            true,
            "%",
            0,
            100,
            h => h.Humidity
        ),
        new("cloud_cover", WeatherColumn.CloudCoverPercent, true, "%", 0, 100, h => h.Cloud),
        new("wind_speed_10m", WeatherColumn.WindSpeedMS, true, "m/s", 0, 90, h => h.Wind),
        new("wind_gusts_10m", WeatherColumn.WindGustMS, false, "m/s", 0, 120, h => h.Gust),
        new(
            "shortwave_radiation",
            WeatherColumn.ShortwaveWM2,
            false,
            "W/m²",
            0,
            1500,
            h => h.Shortwave
        ),
        new(
            "precipitation",
            WeatherColumn.PrecipitationMm,
            false,
            "mm",
            0,
            350,
            h => h.Precipitation
        ),
        new(
            "precipitation_probability",
            WeatherColumn.PrecipitationProbabilityPercent,
            false,
            "%",
            0,
            100,
            h => h.Probability
        ),
    ];

    public static readonly string Names = string.Join(',', All.Select(c => c.Name));
}
