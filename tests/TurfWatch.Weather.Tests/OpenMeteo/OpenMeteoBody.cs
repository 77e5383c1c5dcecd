using System.Globalization;
using NodaTime;

namespace TurfWatch.Weather.Tests.OpenMeteo;

/// <summary>Bodies of our own in the shape of Open-Meteo's forecast answer.</summary>
internal static class OpenMeteoBody
{
    /// <summary>Hourly from <paramref name="first"/>: temperature rises by one a row from 10, everything else is constant.</summary>
    public static string Hourly(
        Instant first,
        int count,
        string windUnit = "m/s",
        int offsetSeconds = 0,
        Func<int, string>? temperature = null,
        Func<int, string>? shortwave = null,
        Func<int, string>? probability = null
    ) =>
        $$"""
            {"latitude":29.41,"longitude":-98.5,"generationtime_ms":0.4,"utc_offset_seconds":{{offsetSeconds}},
            "timezone":"GMT","timezone_abbreviation":"GMT","elevation":200.0,
            "hourly_units":{"time":"unixtime","temperature_2m":"°C","dew_point_2m":"°C","relative_humidity_2m":"%","cloud_cover":"%",
            "wind_speed_10m":"{{windUnit}}","wind_gusts_10m":"{{windUnit}}","shortwave_radiation":"W/m²","precipitation":"mm","precipitation_probability":"%"},
            "hourly":{"time":[{{Rows(count, i => $"{first.ToUnixTimeSeconds() + i * 3600}")}}],
            "temperature_2m":[{{Rows(count, temperature ?? (i => Number(10 + i)))}}],
            "dew_point_2m":[{{Rows(count, _ => "5.0")}}],
            "relative_humidity_2m":[{{Rows(count, _ => "70")}}],
            "cloud_cover":[{{Rows(count, i => i % 2 == 0 ? "0" : "100")}}],
            "wind_speed_10m":[{{Rows(count, _ => "3.0")}}],
            "wind_gusts_10m":[{{Rows(count, _ => "7.0")}}],
            "shortwave_radiation":[{{Rows(count, shortwave ?? (i => Number(100 * i)))}}],
            "precipitation":[{{Rows(count, i => i == 2 ? "1.4" : "0.00")}}],
            "precipitation_probability":[{{Rows(count, probability ?? (_ => "40"))}}]
            } }
            """;

    private static string Number(double value) =>
        value.ToString("0.0", CultureInfo.InvariantCulture);

    private static string Rows(int count, Func<int, string> row) =>
        string.Join(',', Enumerable.Range(0, count).Select(row));
}
