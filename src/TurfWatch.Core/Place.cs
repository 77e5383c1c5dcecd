using NodaTime;

namespace TurfWatch.Core;

/// <summary>Where a lawn lies: a five-digit ZIP code and what follows from it.</summary>
/// <param name="Zip">Five digits, leading zeros kept.</param>
/// <param name="Name">Post-office or town name, as a person would say it.</param>
/// <param name="State">Two-letter state or territory code.</param>
/// <param name="LatitudeDeg">Degrees north.</param>
/// <param name="LongitudeDeg">Degrees east (the United States is negative, Guam is positive).</param>
/// <param name="ZoneId">IANA time zone id, known to <see cref="DateTimeZoneProviders.Tzdb"/>.</param>
public sealed record Place(
    string Zip,
    string Name,
    string State,
    double LatitudeDeg,
    double LongitudeDeg,
    string ZoneId
)
{
    /// <summary>The time zone of <see cref="ZoneId"/>.</summary>
    public DateTimeZone Zone => DateTimeZoneProviders.Tzdb[ZoneId];
}
