using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>
/// Draws hours of weather for a town that does not exist: seasons, days and nights, weather that
/// persists (a first-order autoregression), fronts with rain, afternoon storms, clear nights on
/// which the air cools to its dew point. For the demo only.
/// </summary>
internal static class InventedYear
{
    private const double HoursToFollow = 2.5;

    public static WeatherSeries Draw(
        InventedClimate climate,
        Place place,
        Instant firstHourEnd,
        int hours,
        int seed
    )
    {
        var dice = new Dice(seed);
        var sky = new Passages(climate, place, firstHourEnd, hours, dice);
        var series = new WeatherSeriesBuilder(firstHourEnd, hours);
        double mood = dice.Normal(),
            cloudMood = dice.Normal(),
            windMood = dice.Normal(),
            damp = dice.Normal();
        double? shade = null;
        double warmth = 0,
            moisture = 0;
        for (var i = 0; i < hours; i++)
        {
            mood = Persist(mood, 60, dice);
            cloudMood = Persist(cloudMood, 9, dice);
            windMood = Persist(windMood, 7, dice);
            damp = Persist(damp, 48, dice);
            var middle = firstHourEnd + Duration.FromHours(i) - Duration.FromMinutes(30);
            var day = middle.InZone(place.Zone).DayOfYear;
            var passage = sky[i];

            var cloud = Math.Clamp(
                InventedClimate.On(climate.CloudPercent, day) + 28 * cloudMood + passage.Cloud,
                0,
                100
            );
            // Air takes hours to follow the sky and the front: a new mass of it does not come at the stroke of the clock.
            shade = shade is { } was ? Follow(was, cloud) : cloud;
            warmth = Follow(warmth, passage.Warmth - (passage.RainMm > 0 ? 1.2 : 0));
            moisture = Follow(moisture, passage.Moisture);
            var temperature =
                InventedClimate.On(climate.MeanC, day)
                + InventedClimate.On(climate.UnrestK, day) * mood
                + warmth
                + InventedClimate.On(climate.SwingK, day)
                    * (1 - 0.6 * shade.Value / 100)
                    * DayShape(SolarHour(middle, place.LongitudeDeg));
            var dewPoint =
                InventedClimate.On(climate.DewPointC, day)
                + 0.6 * InventedClimate.On(climate.UnrestK, day) * mood
                + 1.8 * damp
                + moisture;
            if (passage.RainMm > 0)
            {
                dewPoint = Math.Max(dewPoint, temperature - 1);
            }

            // Air that cools to its dew point gives water up and hardly cools further.
            var air =
                temperature >= dewPoint ? temperature : dewPoint - 0.25 * (dewPoint - temperature);
            dewPoint = Math.Min(dewPoint, air - 0.1);
            var wind = Math.Max(
                0.3,
                climate.WindMS
                    * (0.75 + 0.55 * DayShape(SolarHour(middle, place.LongitudeDeg)) * 2)
                    * Math.Exp(0.3 * windMood)
                    * passage.Wind
            );

            series[WeatherColumn.AirTemperatureC][i] = air;
            series[WeatherColumn.DewPointC][i] = dewPoint;
            series[WeatherColumn.RelativeHumidityPercent][i] = Humidity(air, dewPoint);
            series[WeatherColumn.WindSpeedMS][i] = wind;
            series[WeatherColumn.WindGustMS][i] = wind * (1.45 + 0.08 * Math.Abs(windMood));
            series[WeatherColumn.CloudCoverPercent][i] = cloud;
            series[WeatherColumn.PrecipitationMm][i] = passage.RainMm;
            series.Origins[i] = new HourOrigin(
                HourKind.Measured,
                InventedWeather.SourceId,
                firstHourEnd + Duration.FromHours(i)
            );
        }

        return series.Build();
    }

    private static double Persist(double value, double hours, Dice dice)
    {
        var keep = Math.Exp(-1 / hours);
        return keep * value + Math.Sqrt(1 - keep * keep) * dice.Normal();
    }

    private static double Follow(double value, double target) =>
        target + ((value - target) * Math.Exp(-1 / HoursToFollow));

    private static double SolarHour(Instant instant, double longitudeDeg)
    {
        var hour = instant.ToUnixTimeSeconds() / 3600.0 + longitudeDeg / 15;
        return hour - 24 * Math.Floor(hour / 24);
    }

    /// <summary>From -0.5 a little before sunrise to +0.5 in mid-afternoon: a quick rise, a slow fall.</summary>
    private static double DayShape(double solarHour)
    {
        const double Low = 5.5,
            High = 15;
        var since = (solarHour - Low + 24) % 24;
        return since < High - Low
            ? -0.5 * Math.Cos(Math.PI * since / (High - Low))
            : -0.5 + Math.Pow(1 - (since - (High - Low)) / (24 - (High - Low)), 1.6);
    }

    // Magnus form, good to a fraction of a percent; the physics has its own.
    internal static double Humidity(double airC, double dewPointC) =>
        Math.Min(
            100,
            100
                * Math.Exp(
                    17.625 * dewPointC / (243.04 + dewPointC) - 17.625 * airC / (243.04 + airC)
                )
        );
}
