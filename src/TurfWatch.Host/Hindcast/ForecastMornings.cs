using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>
/// Tries the dew-off range on measured dew mornings: the weather up to five hours before sunrise is as measured, after it
/// wrong by made errors of a day-1 forecast, drawn from a fixed seed.
/// </summary>
/// <remarks>
/// Errors: temperature 1.1 K, humidity 6 %, wind 30 %, sunshine 12 %, normal, correlated from hour to hour by exp(-1/12):
/// the sizes are usual for day 1, those of wind and sun and the correlation time is judgement.
/// </remarks>
internal static class ForecastMornings
{
    private const int BeforeSunrise = 5;
    private const int HistoryHours = 8 * 24;
    private const int AheadHours = 16;
    private const double HourToHour = 0.92;

    public static void Write(
        Station station,
        WeatherSeries weather,
        MeasuredColumns measured,
        TextWriter output
    )
    {
        var mornings = WetScore.DewMornings(station.Site, weather, measured.WetPercent, 60 * 24);
        if (mornings.Count == 0)
        {
            return;
        }

        var random = new Random(20260405);
        SiteState? state = null;
        int held = 0,
            early = 0,
            late = 0;
        double width = 0,
            error = 0;
        foreach (var morning in mornings)
        {
            var now = morning.Start - BeforeSunrise;
            var from = Math.Max(
                0,
                Math.Min(now - HistoryHours, state is null ? 0 : weather.IndexOf(state.ValidAt) + 1)
            );
            var known = weather.Slice(
                weather.HourEnd(from),
                weather.HourEnd(Math.Min(weather.Count - 1, now + AheadHours))
            );
            var run = SiteModel.Run(
                station.Site,
                station.Surface,
                Forecast(known, now - from, random),
                weather.HourEnd(now),
                state,
                station.Cover
            );
            state = run.StateToKeep;
            var site = run.Conditions;
            var sunrise = weather.HourEnd(morning.Start);
            var first = Falls(site, sunrise, 90);
            var median = Falls(site, sunrise, 50);
            var last = Falls(site, sunrise, 10);
            held += morning.Measured >= first && morning.Measured <= last ? 1 : 0;
            early += morning.Measured < first ? 1 : 0;
            late += morning.Measured > last ? 1 : 0;
            width += last - first;
            error += Math.Abs(median - morning.Measured);
        }

        var n = mornings.Count;
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"  dew-off range, {n} mornings with forecast errors: holds the truth on {100.0 * held / n:F0} % (dry before it {100.0 * early / n:F0} %, after it {100.0 * late / n:F0} %), mean width {width / n:F2} h, median's MAE {error / n:F2} h"
            )
        );
    }

    private static double Falls(SiteConditions site, Instant from, double percent)
    {
        var start = site.IndexOf(from);
        for (var i = start; i < site.Count; i++)
        {
            if (site.WetChancePercent[i] < percent)
            {
                return i == start
                    ? 0
                    : (
                        WetChance.Crossing(site, site.HourEnd(i - 1), site.HourEnd(i), percent)
                        - from
                    ).TotalHours;
            }
        }

        return site.Count - start;
    }

    private static WeatherSeries Forecast(WeatherSeries known, int now, Random random)
    {
        var builder = new WeatherSeriesBuilder(known.FirstHourEnd, known.Count, known.WindHeightM);
        var fresh = Math.Sqrt(1 - (HourToHour * HourToHour));
        double[] error = [Normal(), Normal(), Normal(), Normal()];
        foreach (var column in Enum.GetValues<WeatherColumn>())
        {
            known[column].CopyTo(builder[column]);
        }

        for (var i = 0; i < known.Count; i++)
        {
            builder.Origins[i] = known.Origins[i];
            if (i < now)
            {
                continue;
            }

            builder.Origins[i] = new HourOrigin(HourKind.Forecast, "made", null);
            for (var e = 0; e < error.Length; e++)
            {
                error[e] = (HourToHour * error[e]) + (fresh * Normal());
            }

            builder[WeatherColumn.AirTemperatureC][i] += 1.1 * error[0];
            builder[WeatherColumn.RelativeHumidityPercent][i] = Math.Clamp(
                builder[WeatherColumn.RelativeHumidityPercent][i] + (6 * error[1]),
                5,
                100
            );
            builder[WeatherColumn.WindSpeedMS][i] *= Math.Exp(0.3 * error[2]);
            builder[WeatherColumn.ShortwaveWM2][i] *= Math.Max(0.3, 1 + (0.12 * error[3]));
        }

        return builder.Build();

        double Normal() =>
            Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()))
            * Math.Cos(2 * Math.PI * random.NextDouble());
    }
}
