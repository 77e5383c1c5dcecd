using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>A rain-free morning that the sensor found wet at sunrise.</summary>
/// <param name="Start">Hour that ends at or before sunrise.</param>
/// <param name="Measured">Hours after it at which the sensor was dry.</param>
internal readonly record struct DewMorning(int Start, double Measured);

/// <summary>Wet hours and dry-off on dew mornings.</summary>
internal static class WetScore
{
    private const double WetPercent = 50;
    private const int LongestHours = 10;
    private const int BeforeHours = 12;

    /// <summary>Share of hours that both call wet or both dry, of wet hours found, and of wet calls that were false.</summary>
    public static (double Right, double Found, double False) Hours(
        ReadOnlySpan<double> model,
        ReadOnlySpan<double> measured,
        int from
    )
    {
        double all = 0,
            right = 0,
            hit = 0,
            missed = 0,
            wrong = 0;
        for (var i = from; i < measured.Length; i++)
        {
            if (double.IsNaN(model[i]) || double.IsNaN(measured[i]))
            {
                continue;
            }

            var (called, wet) = (model[i] >= WetPercent, measured[i] >= WetPercent);
            all++;
            right += called == wet ? 1 : 0;
            hit += called && wet ? 1 : 0;
            missed += !called && wet ? 1 : 0;
            wrong += called && !wet ? 1 : 0;
        }

        return (right / all, hit / (hit + missed), wrong / (hit + wrong));
    }

    /// <summary>Mornings without rain in the twelve hours before sunrise and eight after, wet at sunrise, dry within ten hours.</summary>
    public static List<DewMorning> DewMornings(
        SiteDescription site,
        WeatherSeries weather,
        double[] measured,
        int from
    )
    {
        var mornings = new List<DewMorning>();
        var rain = weather[WeatherColumn.PrecipitationMm];
        var last = weather.LastHourEnd.InUtc().Date;
        for (var day = weather.HourEnd(from).InUtc().Date; day <= last; day = day.PlusDays(1))
        {
            if (
                Sun.ForDate(day, DateTimeZone.Utc, site.LatitudeDeg, site.LongitudeDeg).Sunrise
                is not { } sunrise
            )
            {
                continue;
            }

            var start = weather.IndexOf(sunrise + Duration.FromSeconds(1)) - 1;
            if (start - BeforeHours < from || start + LongestHours >= measured.Length)
            {
                continue;
            }

            var dry = true;
            for (var i = start - BeforeHours; i < start + 8; i++)
            {
                dry &= !(rain[i] > 0);
            }

            if (dry && DryOff(measured, start) is { } hours)
            {
                mornings.Add(new(start, hours));
            }
        }

        return mornings;
    }

    /// <summary>Hours after <paramref name="start"/> at which wet leaves are dry; null when dry at the start, wet for ten hours, or unknown.</summary>
    public static double? DryOff(ReadOnlySpan<double> percent, int start)
    {
        if (!(percent[start] >= WetPercent))
        {
            return null;
        }

        for (var h = 1; h <= LongestHours; h++)
        {
            var value = percent[start + h];
            if (double.IsNaN(value))
            {
                return null;
            }

            if (value < WetPercent)
            {
                return h - 1 + (value / 100);
            }
        }

        return null;
    }
}
