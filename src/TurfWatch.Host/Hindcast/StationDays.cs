using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>A station's hours as local days: its weather as a daily service would give it, and what it measured of the soil.</summary>
internal static class StationDays
{
    private const int FewestHours = 20;
    private static readonly Duration HalfHour = Duration.FromMinutes(30);

    /// <summary>The station's zone: that of the sun, by whole hours, without summer time.</summary>
    public static DateTimeZone Zone(Station station) =>
        DateTimeZone.ForOffset(Offset.FromHours((int)Math.Round(station.Site.LongitudeDeg / 15)));

    /// <summary>Daily weather, wind brought to 10 m; what is known of fewer than 20 hours is NaN.</summary>
    public static PastYears Weather(
        Station station,
        WeatherSeries weather,
        SiteDays modelled,
        DateTimeZone zone
    )
    {
        var air = weather[WeatherColumn.AirTemperatureC];
        var dew = new double[weather.Count];
        for (var i = 0; i < dew.Length; i++)
        {
            dew[i] = Psychrometrics.DewPointC(
                Psychrometrics.VapourPressureHPa(
                    air[i],
                    Math.Max(1, weather[WeatherColumn.RelativeHumidityPercent][i])
                )
            );
        }

        var toTenMetres = Fao56.WindAt2mMS(1, station.WindHeightM) / Fao56.WindAt2mMS(1, 10);
        var dewPoint = Mean(weather.FirstHourEnd, dew, modelled, zone);
        var wind = Mean(weather.FirstHourEnd, weather[WeatherColumn.WindSpeedMS], modelled, zone);
        return new([
            .. Enumerable
                .Range(0, modelled.Count)
                .Select(i => new ClimateDay(
                    modelled.Date(i),
                    modelled.AirMeanC[i],
                    modelled.AirMinC[i],
                    modelled.AirMaxC[i],
                    modelled.RainMm[i],
                    dewPoint[i],
                    wind[i] * toTenMetres,
                    modelled.ShortwaveMJM2[i]
                )),
        ]);
    }

    /// <summary>Means of the days of <paramref name="days"/>.</summary>
    public static double[] Mean(
        Instant firstHourEnd,
        ReadOnlySpan<double> hours,
        SiteDays days,
        DateTimeZone zone
    )
    {
        var sum = new double[days.Count];
        var known = new int[days.Count];
        for (var i = 0; i < hours.Length; i++)
        {
            var date = (firstHourEnd + Duration.FromHours(i) - HalfHour).InZone(zone).Date;
            var d = days.IndexOf(date);
            if (d >= 0 && d < days.Count && !double.IsNaN(hours[i]))
            {
                sum[d] += hours[i];
                known[d]++;
            }
        }

        return [.. sum.Select((s, d) => known[d] < FewestHours ? double.NaN : s / known[d])];
    }

    /// <summary>Days without what lies in [<paramref name="from"/>, <paramref name="end"/>).</summary>
    public static PastYears Hide(PastYears years, LocalDate from, LocalDate end) =>
        new([
            .. years.Days.Select(d =>
                d.Date >= from && d.Date < end
                    ? new ClimateDay(d.Date, double.NaN, double.NaN, double.NaN, double.NaN)
                    : d
            ),
        ]);

    /// <summary>The same of soil days.</summary>
    public static SiteDays Hide(SiteDays days, LocalDate from, LocalDate end) =>
        days.Slice(end, days.End).Over(days.Slice(days.First, from));
}
