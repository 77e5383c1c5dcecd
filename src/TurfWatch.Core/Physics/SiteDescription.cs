namespace TurfWatch.Core.Physics;

/// <summary>Where the site is.</summary>
/// <param name="LatitudeDeg">Degrees north, -90 to 90.</param>
/// <param name="LongitudeDeg">Degrees east, -180 to 180.</param>
/// <param name="ElevationM">Metres above sea level, -500 to 9000.</param>
public sealed record SiteDescription(double LatitudeDeg, double LongitudeDeg, double ElevationM);
