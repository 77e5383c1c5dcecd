using TurfWatch.Core;

namespace TurfWatch.Weather.Nws;

/// <summary>
/// Bounds outside which a value is a fault of the service, not weather: wide enough for any record in the
/// fifty states. Temperatures in the thousands and winds of 800 km/h have been sent.
/// </summary>
internal static class Plausible
{
    /// <summary>Whether a height above the sea can be one of the country's, from Death Valley to Denali [m].</summary>
    public static bool IsElevation(double metres) => metres is >= -100 and <= 6200;

    /// <summary>The value, or NaN when it cannot be true.</summary>
    public static double Check(WeatherColumn column, double value)
    {
        var (least, most) = column switch
        {
            WeatherColumn.AirTemperatureC => (-65.0, 60.0),
            WeatherColumn.DewPointC => (-80.0, 40.0),
            WeatherColumn.WindSpeedMS => (0.0, 70.0),
            WeatherColumn.WindGustMS => (0.0, 115.0),
            WeatherColumn.PrecipitationMm => (0.0, 310.0),
            _ => (0.0, 100.0),
        };
        // Humidity just over saturation is rounding.
        if (column == WeatherColumn.RelativeHumidityPercent && value is > 100 and <= 105)
        {
            return 100;
        }

        return value >= least && value <= most ? value : double.NaN;
    }
}
