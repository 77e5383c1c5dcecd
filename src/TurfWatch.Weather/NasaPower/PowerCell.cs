using TurfWatch.Core;

namespace TurfWatch.Weather.NasaPower;

/// <summary>
/// The point of POWER's meteorology grid (MERRA-2, 0.5° by 0.625°) nearest to a weather cell. All cells
/// around it make the same request and share its answer.
/// </summary>
internal readonly record struct PowerCell(double LatitudeDeg, double LongitudeDeg)
{
    private const double LatitudeStep = 0.5;
    private const double LongitudeStep = 0.625;

    public static PowerCell Of(WeatherCell cell)
    {
        var latitude = Math.Round(cell.LatitudeDeg / LatitudeStep) * LatitudeStep;
        var longitude = Math.Round(cell.LongitudeDeg / LongitudeStep) * LongitudeStep;
        return new(Math.Clamp(latitude, -90, 90), longitude >= 180 ? longitude - 360 : longitude);
    }
}
