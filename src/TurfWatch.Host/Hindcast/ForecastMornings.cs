using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>A dew morning tried with a forecast's errors.</summary>
/// <param name="Measured">Hours after the sunrise hour at which the sensor was dry.</param>
/// <param name="DryAt">Hours after which the chance of wet leaves has fallen to a percentage.</param>
internal sealed record MorningTried(double Measured, IReadOnlyDictionary<int, double> DryAt)
{
    /// <summary>Whether the range from a chance of 100 − level to one of level holds the truth.</summary>
    public bool Holds(int level) => Measured >= DryAt[100 - level] && Measured <= DryAt[level];
}

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
    /// <summary>Chances at which the range of a morning begins and, from 100 less, ends [%].</summary>
    public static readonly int[] Levels = [5, 10, 20, 30, 40];

    private const int BeforeSunrise = 5;
    private const int HistoryHours = 8 * 24;
    private const int AheadHours = 16;
    private const double HourToHour = 0.92;

    public static IReadOnlyList<MorningTried> Run(
        Station station,
        WeatherSeries weather,
        MeasuredColumns measured
    )
    {
        var mornings = WetScore.DewMornings(station.Site, weather, measured.WetPercent, 60 * 24);
        var tried = new List<MorningTried>();
        var random = new Random(20260405);
        SiteState? state = null;
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
            tried.Add(
                new(
                    morning.Measured,
                    Levels
                        .SelectMany(l => (int[])[l, 100 - l])
                        .Append(50)
                        .ToDictionary(l => l, l => Falls(site, sunrise, l))
                )
            );
        }

        return tried;
    }

    public static void Write(IReadOnlyList<MorningTried> mornings, TextWriter output)
    {
        if (mornings.Count == 0)
        {
            return;
        }

        double Share(Func<MorningTried, bool> holds) =>
            100.0 * mornings.Count(holds) / mornings.Count;
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"  dew-off range, {mornings.Count} mornings with forecast errors: holds the truth on {Share(m => m.Holds(10)):F0} % (dry before it {Share(m => m.Measured < m.DryAt[90]):F0} %, after it {Share(m => m.Measured > m.DryAt[10]):F0} %), mean width {mornings.Average(m => m.DryAt[10] - m.DryAt[90]):F2} h, median's MAE {mornings.Average(m => Math.Abs(m.DryAt[50] - m.Measured)):F2} h"
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
