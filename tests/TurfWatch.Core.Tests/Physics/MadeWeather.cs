using NodaTime;
using TurfWatch.Core.Physics;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>Weather of our own making for a place at 35° N, 97° W: yearly and daily waves, rain every fifth day.</summary>
internal static class MadeWeather
{
    public static readonly SiteDescription Site = new(35, -97, 350);

    public static readonly SurfaceClass Turf = new(
        CanopyState.Active,
        Shade.Sun,
        false,
        SoilTexture.Loam,
        false
    );

    public static readonly Instant Start = Instant.FromUtc(2024, 1, 1, 1, 0);

    public static WeatherSeries Hours(
        int count,
        double mean = 14,
        double yearly = 12,
        double daily = 6,
        double dewPointBelowMinimum = 1,
        double wind = 2,
        double cloudPercent = 20,
        double rainMm = 8,
        int firstDay = 0
    )
    {
        var start = Start + Duration.FromDays(firstDay);
        var builder = new WeatherSeriesBuilder(start, count);
        for (var i = 0; i < count; i++)
        {
            var hour = (i + (24.0 * firstDay) - 6.5 + 24) % 24;
            var day = firstDay + (i / 24);
            var ofDay = mean - (yearly * Math.Cos(2 * Math.PI * (day - 20) / 365));
            var t = ofDay - (daily * Math.Cos(2 * Math.PI * (hour - 5) / 24));
            builder[WeatherColumn.AirTemperatureC][i] = t;
            builder[WeatherColumn.DewPointC][i] = Math.Min(t, ofDay - daily - dewPointBelowMinimum);
            builder[WeatherColumn.WindSpeedMS][i] =
                wind * (1 - (0.5 * Math.Cos(2 * Math.PI * (hour - 3) / 24)));
            builder[WeatherColumn.CloudCoverPercent][i] = cloudPercent;
            builder[WeatherColumn.PrecipitationMm][i] =
                day % 5 == 0 && hour is >= 14 and < 16 ? rainMm / 2 : 0;
            builder.Origins[i] = new(HourKind.Analysed, "made", null);
        }

        return builder.Build();
    }

    public static SiteKernel Kernel(SurfaceClass surface, WeatherSeries weather)
    {
        var parameters = SurfaceParameters.For(surface, GroundCover.Turf);
        var kernel = new SiteKernel(parameters, Site.ElevationM, weather.WindHeightM);
        FirstGuess.Fill(kernel.State, Site, parameters, SiteForcing.Make(Site, weather), 1);
        kernel.Load(kernel.State);
        return kernel;
    }
}
