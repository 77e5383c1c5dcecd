using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>
/// Makes complete hours of what the weather has: bridges short gaps, and derives radiation, cloud and humidity
/// where the series has no column for them.
/// </summary>
/// <remarks>
/// Gaps: linear up to 6 h; up to 48 h the same hour of the day before (and its error counts as bridged); longer ones
/// stay open and the hour is not run. Where wind is missing altogether, 2 m/s (FAO-56, p. 63, world mean at 2 m);
/// a missing humidity takes the day's lowest temperature as the dew point (FAO-56 eq. 48). Radiation: given; else
/// from cloud cover; else from the day's range of temperature (Hargreaves, FAO-56 eq. 50). Cloud by night: given,
/// else interpolated between the last hours of sun and the next.
/// </remarks>
internal static class SiteForcing
{
    public const int LinearHours = 6;
    public const int RepeatHours = 48;

    private const double DefaultWind2mMS = 2;

    // Hargreaves' coefficient inland (FAO-56 eq. 50).
    private const double Hargreaves = 0.16;

    public static SiteHour[] Make(SiteDescription site, WeatherSeries weather)
    {
        var n = weather.Count;
        var hours = new SiteHour[n];
        if (n == 0)
        {
            return hours;
        }

        var bridged = new bool[n];
        var air = Bridge(weather[WeatherColumn.AirTemperatureC], bridged);
        var wind = Wind(weather, bridged);
        var vapour = Vapour(weather, air, bridged);
        var given = Bridge(weather[WeatherColumn.ShortwaveWM2], null);
        var cover = Bridge(weather[WeatherColumn.CloudCoverPercent], null);
        var longwave = Bridge(weather[WeatherColumn.LongwaveDownWM2], null);
        var clear = ClearSky(site, weather, vapour);
        var cloud = Cloud(clear, given, cover, air);
        var rain = weather[WeatherColumn.PrecipitationMm];
        var chance = weather[WeatherColumn.PrecipitationProbabilityPercent];
        for (var i = 0; i < n; i++)
        {
            hours[i] = new()
            {
                AirC = air[i],
                VapourHPa = vapour[i],
                WindMS = wind[i],
                Cloud = cloud[i],
                ShortwaveWM2 =
                    !double.IsNaN(given[i]) ? Math.Max(0, given[i])
                    : clear[i] == 0 ? 0
                    : Radiation.CloudyShortwaveWM2(clear[i], 100 * cloud[i]),
                LongwaveWM2 = double.IsNaN(longwave[i])
                    ? Radiation.LongwaveDownWM2(air[i], vapour[i], cloud[i])
                    : longwave[i],
                RainMm = double.IsNaN(rain[i]) ? 0 : Math.Max(0, rain[i]),
                RainChance = chance[i] / 100,
                SolarHour = SolarHour(site, weather.HourEnd(i).ToUnixTimeSeconds()),
                Bridged = bridged[i],
                Usable = !double.IsNaN(air[i]) && !double.IsNaN(vapour[i]),
            };
        }

        return hours;
    }

    /// <summary>Fills gaps up to the stated limits; marks them in <paramref name="bridged"/>.</summary>
    internal static double[] Bridge(ReadOnlySpan<double> values, bool[]? bridged)
    {
        var result = values.ToArray();
        var n = result.Length;
        for (var i = 0; i < n; )
        {
            if (!double.IsNaN(result[i]))
            {
                i++;
                continue;
            }

            var end = i;
            while (end < n && double.IsNaN(values[end]))
            {
                end++;
            }

            var length = end - i;
            for (var k = i; k < end; k++)
            {
                if (length <= LinearHours && i > 0 && end < n)
                {
                    var share = (k - i + 1.0) / (length + 1);
                    result[k] = result[i - 1] + (share * (values[end] - result[i - 1]));
                }
                else if (length <= RepeatHours && k >= 24)
                {
                    result[k] = result[k - 24];
                }

                if (bridged is not null && !double.IsNaN(result[k]))
                {
                    bridged[k] = true;
                }
            }

            i = end;
        }

        return result;
    }

    private static double[] Wind(WeatherSeries weather, bool[] bridged)
    {
        var wind = Bridge(weather[WeatherColumn.WindSpeedMS], null);

        // Brought from 2 m to the height of the series by FAO-56 eq. 47.
        var usual =
            DefaultWind2mMS * Math.Log((67.8 * Math.Max(weather.WindHeightM, 0.5)) - 5.42) / 4.87;
        for (var i = 0; i < wind.Length; i++)
        {
            if (double.IsNaN(wind[i]))
            {
                wind[i] = usual;
                bridged[i] = true;
            }
        }

        return wind;
    }

    private static double[] Vapour(WeatherSeries weather, double[] air, bool[] bridged)
    {
        var dew = weather[WeatherColumn.DewPointC];
        var humidity = weather[WeatherColumn.RelativeHumidityPercent];
        var vapour = new double[air.Length];
        var ceiling = HumidityCeiling.Of(humidity, weather.Origins);
        for (var i = 0; i < vapour.Length; i++)
        {
            vapour[i] =
                !double.IsNaN(humidity[i])
                    ? Psychrometrics.VapourPressureHPa(air[i], humidity[i] * 100 / ceiling[i])
                : !double.IsNaN(dew[i]) ? Psychrometrics.SaturationVapourPressureHPa(dew[i])
                : double.NaN;
        }

        vapour = Bridge(vapour, bridged);
        double[]? lowest = null;
        for (var i = 0; i < vapour.Length; i++)
        {
            if (double.IsNaN(vapour[i]))
            {
                lowest ??= RunningExtreme(air, 12, min: true);
                vapour[i] = Psychrometrics.SaturationVapourPressureHPa(lowest[i]);
                bridged[i] |= !double.IsNaN(lowest[i]);
            }

            vapour[i] = Math.Min(vapour[i], Psychrometrics.SaturationVapourPressureHPa(air[i]));
        }

        return vapour;
    }

    private static double[] ClearSky(SiteDescription site, WeatherSeries weather, double[] vapour)
    {
        var clear = new double[vapour.Length];
        var pressure = Psychrometrics.PressureHPa(site.ElevationM);
        var first = (double)weather.FirstHourEnd.ToUnixTimeSeconds();
        var factor = 1.0;
        for (var i = 0; i < clear.Length; i++)
        {
            var end = first + (3600.0 * i);
            if (i % 24 == 0)
            {
                factor = Sun.Position(end, site.LatitudeDeg, site.LongitudeDeg).DistanceFactor;
            }

            var cos = Sun.MeanCosZenithOverHour(end, site.LatitudeDeg, site.LongitudeDeg);
            var e = double.IsNaN(vapour[i]) ? 10 : vapour[i];
            clear[i] = cos > 0 ? Radiation.ClearSkyShortwaveWM2(cos, factor, e, pressure) : 0;
        }

        return clear;
    }

    private static double SolarHour(SiteDescription site, double hourEnd)
    {
        var solar = ((hourEnd - 1800) / 3600) + (site.LongitudeDeg / 15);
        return solar - (24 * Math.Floor(solar / 24));
    }

    private static double[] Cloud(double[] clear, double[] given, double[] cover, double[] air)
    {
        var n = clear.Length;
        var cloud = new double[n];
        double[]? range = null;
        var anyGiven = Array.Exists(given, v => !double.IsNaN(v));
        for (var i = 0; i < n; i++)
        {
            cloud[i] = double.NaN;
            if (!double.IsNaN(cover[i]))
            {
                cloud[i] = Math.Clamp(cover[i] / 100, 0, 1);
            }
            else if (!double.IsNaN(given[i]))
            {
                // Too low a sun tells of the horizon, not of cloud.
                if (clear[i] > 80)
                {
                    cloud[i] = Radiation.CloudFractionFromShortwave(given[i], clear[i]);
                }
            }
            else if (clear[i] > 20 || !anyGiven)
            {
                range ??= FromRange(clear, air);
                cloud[i] = range[i];
            }
        }

        ForgetByNight(cloud);
        return cloud;
    }

    /// <summary>
    /// Fills hours without a known cloud cover: interpolated, but drawn towards 0.3 (judgement) within a few hours,
    /// because much of the day's cloud is made by the day's heat. Carrying the afternoon's cloud through the
    /// night kept a mountain station's leaves from cooling on two dew nights in three (docs/science/validation.md).
    /// </summary>
    private static void ForgetByNight(double[] cloud)
    {
        const double usual = 0.3;
        const double kept = 0.3;
        const double hours = 2;
        var known = Array.ConvertAll(cloud, c => !double.IsNaN(c));
        Interpolate(cloud);
        var away = new int[cloud.Length];
        for (var i = cloud.Length - 1; i >= 0; i--)
        {
            away[i] =
                known[i] ? 0
                : i + 1 < cloud.Length ? away[i + 1] + 1
                : cloud.Length;
        }

        var since = cloud.Length;
        for (var i = 0; i < cloud.Length; i++)
        {
            since = known[i] ? 0 : since + 1;
            if (since == 0)
            {
                continue;
            }

            var keep = kept + ((1 - kept) * Math.Exp(-Math.Min(since, away[i]) / hours));
            cloud[i] = usual + (keep * (cloud[i] - usual));
        }
    }

    /// <summary>Cloud that goes with the day's range of temperature.</summary>
    private static double[] FromRange(double[] clear, double[] air)
    {
        var low = RunningExtreme(air, 12, min: true);
        var high = RunningExtreme(air, 12, min: false);
        var cloud = new double[air.Length];
        for (var i = 0; i < cloud.Length; i++)
        {
            // R_s/R_a = k √range; R_so is about 0.75 R_a (FAO-56 eqs. 37 and 50).
            var ratio = Hargreaves * Math.Sqrt(Math.Max(0, high[i] - low[i])) / 0.75;
            cloud[i] = Radiation.CloudFractionFromShortwave(Math.Min(1, ratio) * 1000, 1000);
        }

        return cloud;
    }

    /// <summary>Fills what lies between known hours linearly, ends with the nearest; nothing known is half cover.</summary>
    private static void Interpolate(double[] values)
    {
        var last = -1;
        for (var i = 0; i <= values.Length; i++)
        {
            if (i < values.Length && double.IsNaN(values[i]))
            {
                continue;
            }

            for (var k = last + 1; k < i; k++)
            {
                values[k] =
                    last < 0 && i == values.Length ? 0.5
                    : last < 0 ? values[i]
                    : i == values.Length ? values[last]
                    : values[last] + ((values[i] - values[last]) * (k - last) / (i - last));
            }

            last = i;
        }
    }

    /// <summary>Extreme of the hours within <paramref name="reach"/> on either side; NaN where none is known.</summary>
    private static double[] RunningExtreme(double[] values, int reach, bool min)
    {
        var result = new double[values.Length];
        for (var i = 0; i < values.Length; i++)
        {
            var best = double.NaN;
            var to = Math.Min(values.Length - 1, i + reach);
            for (var k = Math.Max(0, i - reach); k <= to; k++)
            {
                var v = values[k];
                if (double.IsNaN(best) || (min ? v < best : v > best))
                {
                    best = double.IsNaN(v) ? best : v;
                }
            }

            result[i] = best;
        }

        return result;
    }
}
