using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>Hours to local days.</summary>
public static class SiteDaysOf
{
    // A day with fewer known hours of a column says nothing of it.
    private const int FewestHours = 20;

    /// <summary>The whole local days of a run; a day cut off at either end is left out.</summary>
    /// <param name="site">The hours.</param>
    /// <param name="zone">Time zone of the place.</param>
    /// <remarks>A column of a day with fewer than 20 known hours is NaN. Means and totals are of the hours known.</remarks>
    public static SiteDays Conditions(SiteConditions site, DateTimeZone zone)
    {
        if (site.Count == 0)
        {
            return SiteDays.Unknown(LocalDays.Of(site.FirstHourEnd, zone), 0);
        }

        var first = LocalDays.Of(site.FirstHourEnd, zone);
        if (LocalDays.FirstHour(site.FirstHourEnd, zone, first) < 0)
        {
            first = first.PlusDays(1);
        }

        var end = LocalDays.Of(site.HourEnd(site.Count), zone);
        var days = SiteDays.Unknown(first, Math.Max(0, Period.DaysBetween(first, end)));
        var weather = site.Weather;
        var air = weather[WeatherColumn.AirTemperatureC];
        var rain = weather[WeatherColumn.PrecipitationMm];
        var humidity = Humidity(weather);
        var from = LocalDays.FirstHour(site.FirstHourEnd, zone, first);
        for (var i = 0; i < days.Count; i++)
        {
            var next = LocalDays.FirstHour(site.FirstHourEnd, zone, days.Date(i + 1));
            var hours = from..next;
            days.Soil5CmC[i] = Mean(site.SoilTemperature5CmC.AsSpan(hours));
            days.Soil10CmC[i] = Mean(site.SoilTemperature10CmC.AsSpan(hours));
            days.AirMeanC[i] = Mean(air[hours]);
            days.AirMinC[i] = Extreme(air[hours], Math.Min);
            days.AirMaxC[i] = Extreme(air[hours], Math.Max);
            days.RainMm[i] = Sum(rain[hours]);
            days.Et0Mm[i] = Sum(site.Et0Mm.AsSpan(hours));
            days.ShortwaveMJM2[i] = 0.0036 * Sum(site.ShortwaveWM2.AsSpan(hours));
            days.HumidityPercent[i] = Mean(humidity.AsSpan(hours));
            days.WetHours[i] = Sum(site.LeafWetnessPercent.AsSpan(hours)) / 100;
            days.AvailableWater[i] = Last(site.AvailableWaterFraction.AsSpan(hours));
            from = next;
        }

        return days;
    }

    private static double[] Humidity(WeatherSeries weather)
    {
        var air = weather[WeatherColumn.AirTemperatureC];
        var dew = weather[WeatherColumn.DewPointC];
        var humidity = weather[WeatherColumn.RelativeHumidityPercent].ToArray();
        for (var i = 0; i < humidity.Length; i++)
        {
            if (double.IsNaN(humidity[i]))
            {
                humidity[i] = Psychrometrics.RelativeHumidityPercent(air[i], dew[i]);
            }

            humidity[i] = Math.Min(100, humidity[i]);
        }

        return humidity;
    }

    private static double Mean(ReadOnlySpan<double> hours)
    {
        var (sum, known) = Total(hours);
        return known < FewestHours ? double.NaN : sum / known;
    }

    private static double Sum(ReadOnlySpan<double> hours)
    {
        var (sum, known) = Total(hours);
        return known < FewestHours ? double.NaN : sum;
    }

    private static (double Sum, int Known) Total(ReadOnlySpan<double> hours)
    {
        double sum = 0;
        var known = 0;
        foreach (var value in hours)
        {
            if (!double.IsNaN(value))
            {
                sum += value;
                known++;
            }
        }

        return (sum, known);
    }

    private static double Extreme(ReadOnlySpan<double> hours, Func<double, double, double> of)
    {
        var best = double.NaN;
        var known = 0;
        foreach (var value in hours)
        {
            if (!double.IsNaN(value))
            {
                best = double.IsNaN(best) ? value : of(best, value);
                known++;
            }
        }

        return known < FewestHours ? double.NaN : best;
    }

    private static double Last(ReadOnlySpan<double> hours)
    {
        for (var i = hours.Length - 1; i >= Math.Max(0, hours.Length - 6); i--)
        {
            if (!double.IsNaN(hours[i]))
            {
                return hours[i];
            }
        }

        return double.NaN;
    }
}
