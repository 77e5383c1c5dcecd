using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>
/// Invented weather that takes the kernel through its branches: dew nights, rain, wind, cloud, a winter with frost in leaf and
/// soil. Deterministic.
/// </summary>
internal static class BenchmarkWeather
{
    public static readonly Instant Start = Instant.FromUtc(2025, 1, 1, 1, 0);

    public static readonly SurfaceClass Lawn = new(
        CanopyState.Active,
        Shade.Sun,
        false,
        SoilTexture.Loam,
        false
    );

    /// <summary>One of any number of sites, spread over the states.</summary>
    public static SiteDescription Site(int index) =>
        new(30 + (index * 7 % 18), -120 + (index * 11 % 48), index * 37 % 1500);

    public static WeatherSeries Hours(int count, int site = 0, int firstDay = 0)
    {
        var random = new Random(4711 + site);
        var latitude = Site(site).LatitudeDeg;
        var builder = new WeatherSeriesBuilder(Start + Duration.FromDays(firstDay), count);
        double spell = 0,
            front = 0;
        for (var i = 0; i < count; i++)
        {
            if (i % 24 == 0)
            {
                front = (0.7 * front) + (3 * (random.NextDouble() - 0.5));
                spell = random.NextDouble();
            }

            var day = firstDay + (i / 24.0);
            var solar = (i + 1 + (Site(site).LongitudeDeg / 15) + 24) % 24;
            var swing = 3 + (5 * spell);
            var ofDay =
                27
                - (0.0095 * latitude * latitude)
                - (0.36 * latitude * Math.Cos(2 * Math.PI * (day - 22) / 365.25))
                + front;
            var air = ofDay - (swing * Math.Cos(2 * Math.PI * (solar - 3) / 24));
            var rain = spell < 0.25 && solar is > 13 and < 18 ? 3 * random.NextDouble() : 0;
            builder[WeatherColumn.AirTemperatureC][i] = air;
            builder[WeatherColumn.DewPointC][i] = Math.Min(air, ofDay - swing + spell - 0.5);
            builder[WeatherColumn.WindSpeedMS][i] =
                0.3 + (4 * random.NextDouble() * (1.2 - Math.Cos(2 * Math.PI * (solar - 3) / 24)));
            builder[WeatherColumn.CloudCoverPercent][i] = 100 * (1 - spell) * random.NextDouble();
            builder[WeatherColumn.PrecipitationMm][i] = rain;
            builder.Origins[i] = new(HourKind.Analysed, "invented", null);
        }

        return builder.Build();
    }
}
