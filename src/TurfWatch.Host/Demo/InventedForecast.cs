using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>
/// What a forecaster would have said of invented weather: the truth, with an error that grows with
/// the lead time, so that the advice is tried as it is in life and not with hindsight.
/// </summary>
internal static class InventedForecast
{
    public static WeatherSeries Make(WeatherSeries truth, Instant now, int hours, int seed)
    {
        var start = truth.IndexOf(now);
        if (truth.HourEnd(start) == now)
        {
            start++;
        }

        var count = Math.Min(hours, truth.Count - start);
        var dice = new Dice(unchecked((seed * 100_003) + start));
        var series = new WeatherSeriesBuilder(truth.HourEnd(start), count);
        double warm = dice.Normal(),
            damp = dice.Normal(),
            sky = dice.Normal(),
            wind = dice.Normal();
        double late = dice.Normal(),
            amount = dice.Normal();
        for (var h = 0; h < count; h++)
        {
            warm = 0.97 * warm + 0.243 * dice.Normal();
            damp = 0.97 * damp + 0.243 * dice.Normal();
            sky = 0.9 * sky + 0.436 * dice.Normal();
            wind = 0.9 * wind + 0.436 * dice.Normal();
            var i = start + h;
            var air = truth[WeatherColumn.AirTemperatureC][i] + (0.7 + 0.012 * h) * warm;
            var dew = Math.Min(
                air - 0.1,
                truth[WeatherColumn.DewPointC][i] + (0.8 + 0.012 * h) * damp
            );
            var rainHour = i + (int)Math.Round((0.4 + 0.03 * h) * late);
            series[WeatherColumn.AirTemperatureC][h] = air;
            series[WeatherColumn.DewPointC][h] = dew;
            series[WeatherColumn.RelativeHumidityPercent][h] = InventedYear.Humidity(air, dew);
            series[WeatherColumn.WindSpeedMS][h] =
                truth[WeatherColumn.WindSpeedMS][i] * Math.Exp((0.15 + 0.0006 * h) * wind);
            series[WeatherColumn.WindGustMS][h] =
                truth[WeatherColumn.WindGustMS][i] * Math.Exp((0.15 + 0.0006 * h) * wind);
            series[WeatherColumn.CloudCoverPercent][h] = Math.Clamp(
                truth[WeatherColumn.CloudCoverPercent][i] + (8 + 0.15 * h) * sky,
                0,
                100
            );
            series[WeatherColumn.PrecipitationMm][h] =
                RainAt(truth, rainHour) * Math.Exp((0.25 + 0.004 * h) * amount);
            series[WeatherColumn.PrecipitationProbabilityPercent][h] = Chance(truth, rainHour, h);
            series.Origins[h] = new HourOrigin(HourKind.Forecast, InventedWeather.SourceId, now);
        }

        return series.Build();
    }

    private static double RainAt(WeatherSeries truth, int hour) =>
        hour >= 0 && hour < truth.Count ? truth[WeatherColumn.PrecipitationMm][hour] : 0;

    /// <summary>The further ahead, the wider the hours over which a shower is spread, and the less sure it is.</summary>
    private static double Chance(WeatherSeries truth, int hour, int lead)
    {
        var reach = 1 + lead / 12;
        double wet = 0,
            weights = 0;
        for (var k = -reach; k <= reach; k++)
        {
            var weight = 1 - Math.Abs(k) / (reach + 1.0);
            weights += weight;
            wet += RainAt(truth, hour + k) >= 0.1 ? weight : 0;
        }

        var trust = Math.Exp(-lead / 120.0);
        return Math.Round(100 * (trust * 0.95 * wet / weights + (1 - trust) * 0.12));
    }
}
