using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>
/// Likely hours of days of which only daily figures are known: mean, minimum and maximum temperature, the day's
/// rain and radiation and mean wind come out as they went in; the dew point too, except where it would lie above the air.
/// </summary>
/// <remarks>
/// Temperature: <see cref="DiurnalTemperature"/>. Dew point: the daily mean, at noon, linear between noons, never above
/// the air. Wind: a wave of the day of ±35 %, highest at 14 h solar time (wave: Green and Kozek 2003; size: judgement).
/// Radiation: shared out as that of a cloudless sky (<see cref="Radiation.ClearSkyShortwaveWM2"/>). Rain: without pause
/// at about 2 mm an hour, from an hour that changes from day to day by a fixed rule; no source, and nothing of its hour is known.
/// Missing temperatures are interpolated over up to two days; longer holes, and columns that are missing, stay missing.
/// </remarks>
public static class HourlyFromDaily
{
    private const int LongestGapDays = 2;
    private const double WindSwing = 0.35;
    private const double WindiestHour = 14;
    private const double RainMmPerHour = 2;
    private const double UsualVapourHPa = 10;
    private const double UsualPressureHPa = 1000;
    private const double GoldenRatio = 0.6180339887498949;

    private static readonly HourOrigin Origin = new(HourKind.Analysed, "daily", null);

    /// <summary>Makes the hours.</summary>
    /// <param name="latitudeDeg">Degrees north, -90 to 90.</param>
    /// <param name="longitudeDeg">Degrees east, -180 to 180.</param>
    /// <param name="zone">Time zone in which the days are days.</param>
    /// <param name="days">The days in order; days left out stay unknown.</param>
    /// <returns>Analysed hours from the first day's first to the last day's last, wind at 10 m.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No place on earth, or the days are out of order.</exception>
    public static WeatherSeries Make(
        double latitudeDeg,
        double longitudeDeg,
        DateTimeZone zone,
        IReadOnlyList<ClimateDay> days
    )
    {
        Guard.Latitude(latitudeDeg);
        Guard.Longitude(longitudeDeg);
        if (days.Count == 0)
        {
            return WeatherSeries.Empty;
        }

        var all = Complete(days);
        var starts = new Instant[all.Length + 1];
        for (var d = 0; d <= all.Length; d++)
        {
            starts[d] = zone.AtStartOfDay(all[0].Date.PlusDays(d)).ToInstant();
        }

        // The first hour of which half lies in the first day.
        var firstEnd = Instant.FromUnixTimeSeconds(
            (starts[0].ToUnixTimeSeconds() + 1800 + 3599) / 3600 * 3600
        );
        var at = Array.ConvertAll(starts, s => (int)Math.Ceiling((s - firstEnd).TotalHours + 0.5));
        var builder = new WeatherSeriesBuilder(firstEnd, at[^1]);
        var place = new DayMaker(latitudeDeg, longitudeDeg, firstEnd, builder);
        for (var d = 0; d < all.Length; d++)
        {
            place.Day(all, d, at[d], at[d + 1]);
        }

        return builder.Build();
    }

    private static ClimateDay[] Complete(IReadOnlyList<ClimateDay> days)
    {
        var first = days[0].Date;
        var all = new ClimateDay[Period.DaysBetween(first, days[^1].Date) + 1];
        for (var d = 0; d < all.Length; d++)
        {
            all[d] = new(first.PlusDays(d), double.NaN, double.NaN, double.NaN, double.NaN);
        }

        var before = first.PlusDays(-1);
        foreach (var day in days)
        {
            if (day.Date <= before)
            {
                throw new ArgumentOutOfRangeException(
                    nameof(days),
                    day.Date,
                    $"{day.Date:uuuu-MM-dd} comes after {before:uuuu-MM-dd}; give the days in order, each once"
                );
            }

            before = day.Date;
            all[Period.DaysBetween(first, day.Date)] = day;
        }

        Bridge(all, d => d.MinC, (d, v) => d with { MinC = v });
        Bridge(all, d => d.MaxC, (d, v) => d with { MaxC = v });
        return all;
    }

    private static void Bridge(
        ClimateDay[] days,
        Func<ClimateDay, double> of,
        Func<ClimateDay, double, ClimateDay> with
    )
    {
        for (var i = 1; i < days.Length; i++)
        {
            if (!double.IsNaN(of(days[i])) || double.IsNaN(of(days[i - 1])))
            {
                continue;
            }

            var end = i;
            while (end < days.Length && double.IsNaN(of(days[end])))
            {
                end++;
            }

            if (end < days.Length && end - i <= LongestGapDays)
            {
                var (from, to) = (of(days[i - 1]), of(days[end]));
                for (var k = i; k < end; k++)
                {
                    days[k] = with(days[k], from + ((to - from) * (k - i + 1) / (end - i + 1)));
                }
            }

            i = end;
        }
    }

    private sealed class DayMaker(
        double latitudeDeg,
        double longitudeDeg,
        Instant firstEnd,
        WeatherSeriesBuilder to
    )
    {
        public void Day(ClimateDay[] days, int d, int from, int end)
        {
            var day = days[d];
            if (double.IsNaN(day.MinC) || double.IsNaN(day.MaxC))
            {
                return;
            }

            to.Origins[from..end].Fill(Origin);
            Span<double> middle = stackalloc double[end - from];
            for (var h = 0; h < middle.Length; h++)
            {
                middle[h] = SolarHours(from + h, day.Date);
            }

            var air = to[WeatherColumn.AirTemperatureC][from..end];
            DiurnalTemperature.Fill(
                latitudeDeg,
                day,
                d > 0 ? days[d - 1] : day,
                d + 1 < days.Length ? days[d + 1] : day,
                middle,
                air
            );
            DewPoint(days, d, middle, air, to[WeatherColumn.DewPointC][from..end]);
            Wind(day, middle, to[WeatherColumn.WindSpeedMS][from..end]);
            Shortwave(day, from, to[WeatherColumn.ShortwaveWM2][from..end]);
            Rain(day, to[WeatherColumn.PrecipitationMm][from..end]);
        }

        // Hours of the sun's time after the midnight that begins the date; the hour's middle.
        private double SolarHours(int hour, LocalDate date)
        {
            var seconds =
                firstEnd.ToUnixTimeSeconds() + (3600.0 * hour) - 1800 + (240 * longitudeDeg);
            var midnight = 86400.0 * Period.DaysBetween(new LocalDate(1970, 1, 1), date);
            return (seconds - midnight) / 3600;
        }

        private static void DewPoint(
            ClimateDay[] days,
            int d,
            ReadOnlySpan<double> middle,
            ReadOnlySpan<double> air,
            Span<double> dew
        )
        {
            var own = days[d].DewPointC;
            for (var h = 0; h < dew.Length; h++)
            {
                var away = (middle[h] - 12) / 24;
                var other = d + Math.Sign(away);
                var beside =
                    other >= 0 && other < days.Length && !double.IsNaN(days[other].DewPointC)
                        ? days[other].DewPointC
                        : own;
                dew[h] = Math.Min(air[h], own + (Math.Abs(away) * (beside - own)));
            }
        }

        private static void Wind(ClimateDay day, ReadOnlySpan<double> middle, Span<double> wind)
        {
            double sum = 0;
            for (var h = 0; h < wind.Length; h++)
            {
                wind[h] = 1 + (WindSwing * Math.Cos(Math.PI / 12 * (middle[h] - WindiestHour)));
                sum += wind[h];
            }

            Scale(wind, day.WindMS * wind.Length / sum);
        }

        private void Shortwave(ClimateDay day, int from, Span<double> sun)
        {
            if (double.IsNaN(day.ShortwaveMJM2))
            {
                return;
            }

            double sum = 0;
            var first = (double)firstEnd.ToUnixTimeSeconds();
            for (var h = 0; h < sun.Length; h++)
            {
                var cos = Sun.MeanCosZenithOverHour(
                    first + (3600.0 * (from + h)),
                    latitudeDeg,
                    longitudeDeg
                );
                sun[h] =
                    cos > 0
                        ? Radiation.ClearSkyShortwaveWM2(cos, 1, UsualVapourHPa, UsualPressureHPa)
                        : 0;
                sum += sun[h];
            }

            Scale(sun, sum > 0 ? Math.Max(0, day.ShortwaveMJM2) / 0.0036 / sum : 0);
        }

        private static void Rain(ClimateDay day, Span<double> rain)
        {
            if (double.IsNaN(day.RainMm))
            {
                return;
            }

            rain.Clear();
            if (day.RainMm <= 0)
            {
                return;
            }

            var hours = (int)Math.Clamp(Math.Ceiling(day.RainMm / RainMmPerHour), 1, 12);
            var number = Period.DaysBetween(new LocalDate(1970, 1, 1), day.Date);
            var share = number * GoldenRatio;
            var start = (int)((share - Math.Floor(share)) * (rain.Length - hours + 1));
            rain.Slice(start, hours).Fill(day.RainMm / hours);
        }

        private static void Scale(Span<double> values, double factor)
        {
            foreach (ref var value in values)
            {
                value *= factor;
            }
        }
    }
}
