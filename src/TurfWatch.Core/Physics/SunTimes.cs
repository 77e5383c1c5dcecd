using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>The light of one local day.</summary>
/// <param name="Sunrise">Null when the sun does not cross the horizon that day.</param>
/// <param name="Sunset">Null likewise.</param>
/// <param name="SolarNoon">When the sun is due south or north, at its highest.</param>
/// <param name="DayLength">From rise to set; 24 h in polar day, 0 in polar night.</param>
public readonly record struct SunTimes(
    Instant? Sunrise,
    Instant? Sunset,
    Instant SolarNoon,
    Duration DayLength
);
