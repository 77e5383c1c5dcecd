namespace TurfWatch.Core.Physics;

/// <summary>The hours of a weather series made ready for a site (sun, sky, wind), for who runs several surfaces over them.</summary>
public sealed class SiteHours
{
    private SiteHours(SiteDescription site, WeatherSeries weather, SiteHour[] hours) =>
        (Site, Weather, Hours) = (site, weather, hours);

    public SiteDescription Site { get; }

    public WeatherSeries Weather { get; }

    internal SiteHour[] Hours { get; }

    public static SiteHours Make(SiteDescription site, WeatherSeries weather) =>
        new(site, weather, SiteForcing.Make(site, weather));

    internal SiteHour[] For(SiteDescription site, WeatherSeries weather) =>
        site == Site && ReferenceEquals(weather, Weather)
            ? Hours
            : throw new ArgumentException(
                "the hours were made ready for another site or other weather; make them for these",
                nameof(weather)
            );
}
