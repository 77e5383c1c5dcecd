using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>Where the sun stands, seen from one place at one moment, without refraction.</summary>
/// <param name="CosZenith">Cosine of the zenith angle [−1 to 1]; negative by night.</param>
/// <param name="ElevationDeg">Height above the horizon [°].</param>
/// <param name="AzimuthDeg">Bearing, from north over east [0–360°].</param>
/// <param name="DeclinationRad">Declination [rad].</param>
/// <param name="DistanceFactor">Squared ratio of mean to actual distance, (1/R)² [about 0.967 to 1.034].</param>
public readonly record struct SunPosition(
    double CosZenith,
    double ElevationDeg,
    double AzimuthDeg,
    double DeclinationRad,
    double DistanceFactor
);

/// <summary>
/// The sun's place in the sky. Low-accuracy solar coordinates of Meeus (1998), Astronomical Algorithms, 2nd ed.,
/// ch. 25 (apparent longitude, eqs. 25.2 ff.), ch. 22 (obliquity) and ch. 12 (sidereal time, eq. 12.4), the same
/// series that NOAA's solar calculator uses. About 0.01° from 1950 to 2050; UT is taken for dynamical time.
/// </summary>
public static class Sun
{
    private const double Deg = Math.PI / 180;
    private const double SecondsPerDay = 86400;
    private const double UnixOfJ2000 = 946728000;

    // A solar hour is 15° of hour angle.
    private const double RadPerHour = 15 * Deg;

    // Refraction 34' and semidiameter 16', the custom of almanacs and of NOAA (90.833° zenith).
    private const double RiseElevationDeg = -0.833;

    /// <summary>Position of the sun.</summary>
    /// <param name="instant">The moment.</param>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="lonDeg">Degrees east, −180 to 180.</param>
    public static SunPosition Position(Instant instant, double latDeg, double lonDeg) =>
        Position((instant - Instant.FromUnixTimeSeconds(0)).TotalSeconds, latDeg, lonDeg);

    /// <summary>Position of the sun, for hot loops.</summary>
    /// <param name="unixSeconds">Seconds since 1970-01-01 00:00 UTC.</param>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="lonDeg">Degrees east, −180 to 180.</param>
    public static SunPosition Position(double unixSeconds, double latDeg, double lonDeg)
    {
        Guard.Latitude(latDeg);
        Guard.Longitude(lonDeg);
        var (sinDec, cosDec, hourAngle, factor) = Coordinates(unixSeconds, lonDeg);
        var (sinLat, cosLat) = Math.SinCos(latDeg * Deg);
        var (sinHour, cosHour) = Math.SinCos(hourAngle);
        var cosZenith = Math.Clamp(sinLat * sinDec + cosLat * cosDec * cosHour, -1, 1);
        var azimuth =
            Math.Atan2(-cosDec * sinHour, sinDec * cosLat - cosDec * sinLat * cosHour) / Deg;
        return new(
            cosZenith,
            Math.Asin(cosZenith) / Deg,
            azimuth < 0 ? azimuth + 360 : azimuth,
            Math.Asin(sinDec),
            factor
        );
    }

    /// <summary>Mean over one hour of the cosine of the zenith angle, counted as zero while the sun is down [0–1].</summary>
    /// <param name="hourEnd">End of the hour.</param>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="lonDeg">Degrees east, −180 to 180.</param>
    public static double MeanCosZenithOverHour(Instant hourEnd, double latDeg, double lonDeg) =>
        MeanCosZenithOverHour(
            (hourEnd - Instant.FromUnixTimeSeconds(0)).TotalSeconds,
            latDeg,
            lonDeg
        );

    /// <summary>The same, for hot loops.</summary>
    /// <param name="hourEndUnixSeconds">End of the hour in seconds since 1970-01-01 00:00 UTC.</param>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="lonDeg">Degrees east, −180 to 180.</param>
    /// <remarks>
    /// Integral of sin φ sin δ + cos φ cos δ cos ω over the lit part of the hour, divided by the hour; δ is held at the
    /// middle of the hour. The integrand is that of FAO-56 eq. 28.
    /// </remarks>
    public static double MeanCosZenithOverHour(
        double hourEndUnixSeconds,
        double latDeg,
        double lonDeg
    )
    {
        Guard.Latitude(latDeg);
        Guard.Longitude(lonDeg);
        var (sinDec, cosDec, middle, _) = Coordinates(hourEndUnixSeconds - 1800, lonDeg);
        var (sinLat, cosLat) = Math.SinCos(latDeg * Deg);
        var constant = sinLat * sinDec;
        var wave = cosLat * cosDec;
        var sunset = HalfDay(constant, wave);
        var (start, end) = (middle - RadPerHour / 2, middle + RadPerHour / 2);
        var sum = 0.0;

        // The hour may reach over midnight into the light of the day before or after.
        for (var turn = -2 * Math.PI; turn < 7; turn += 2 * Math.PI)
        {
            var from = Math.Max(start, turn - sunset);
            var to = Math.Min(end, turn + sunset);
            if (to > from)
            {
                sum += constant * (to - from) + wave * (Math.Sin(to) - Math.Sin(from));
            }
        }

        return double.IsNaN(middle + latDeg) ? double.NaN : Math.Clamp(sum / RadPerHour, 0, 1);
    }

    /// <summary>Sunrise, solar noon, sunset and day length of a local date.</summary>
    /// <param name="date">The local date; the day is the one whose solar noon is nearest to noon by the clock.</param>
    /// <param name="zone">Time zone of the place.</param>
    /// <param name="latDeg">Degrees north, −90 to 90.</param>
    /// <param name="lonDeg">Degrees east, −180 to 180.</param>
    /// <remarks>
    /// Rise and set are when the sun's centre is 0.833° below the level horizon (34′ refraction, 16′ semidiameter). Sun
    /// above or below that line all day gives no rise or set and a day of 24 h or 0 h.
    /// </remarks>
    public static SunTimes ForDate(LocalDate date, DateTimeZone zone, double latDeg, double lonDeg)
    {
        Guard.Latitude(latDeg);
        Guard.Longitude(lonDeg);
        var clockNoon = zone.AtLeniently(date.At(LocalTime.Noon)).ToInstant();
        var noon = (double)clockNoon.ToUnixTimeSeconds();
        for (var i = 0; i < 3; i++)
        {
            noon -= Coordinates(noon, lonDeg).HourAngle / RadPerHour * 3600;
        }

        var sunrise = Crossing(noon, -1, latDeg, lonDeg);
        var sunset = Crossing(noon, 1, latDeg, lonDeg);
        var noonElevation = Position(noon, latDeg, lonDeg).ElevationDeg;
        var length =
            sunrise is { } up && sunset is { } down ? Duration.FromSeconds(down - up)
            : noonElevation > RiseElevationDeg ? Duration.FromHours(24)
            : Duration.Zero;
        return sunrise is null || sunset is null
            ? new(null, null, At(noon), length)
            : new(At(sunrise.Value), At(sunset.Value), At(noon), length);
    }

    private static double? Crossing(double noon, int side, double latDeg, double lonDeg)
    {
        var (sinLat, cosLat) = Math.SinCos(latDeg * Deg);
        var line = Math.Sin(RiseElevationDeg * Deg);
        var time = noon + side * SecondsPerDay / 4;
        for (var i = 0; i < 6; i++)
        {
            var (sinDec, cosDec, hourAngle, _) = Coordinates(time, lonDeg);
            var cosHalf = (line - sinLat * sinDec) / (cosLat * cosDec);
            if (!(Math.Abs(cosHalf) <= 1))
            {
                return null;
            }

            var away = side * Math.Acos(cosHalf) - hourAngle;
            time += Math.IEEERemainder(away, 2 * Math.PI) / RadPerHour * 3600;
        }

        return time;
    }

    private static Instant At(double unixSeconds) =>
        Instant.FromUnixTimeMilliseconds((long)Math.Round(unixSeconds * 1000));

    // Hour angle of sunset of the bare centre: π when the sun does not set, 0 when it does not rise.
    private static double HalfDay(double constant, double wave) =>
        wave < 1e-12
            ? (constant > 0 ? Math.PI : 0)
            : Math.Acos(Math.Clamp(-constant / wave, -1, 1));

    private static (
        double SinDec,
        double CosDec,
        double HourAngle,
        double DistanceFactor
    ) Coordinates(double unixSeconds, double lonDeg)
    {
        var days = (unixSeconds - UnixOfJ2000) / SecondsPerDay;
        var t = days / 36525;
        var meanLongitude = 280.46646 + t * (36000.76983 + 0.0003032 * t);
        var anomaly = (357.52911 + t * (35999.05029 - 0.0001537 * t)) * Deg;
        var eccentricity = 0.016708634 - t * (0.000042037 + 0.0000001267 * t);
        var (sin1, cos1) = Math.SinCos(anomaly);
        var sin2 = 2 * sin1 * cos1;
        var sin3 = sin1 * (3 - 4 * sin1 * sin1);
        var centre =
            (1.914602 - t * (0.004817 + 0.000014 * t)) * sin1
            + (0.019993 - 0.000101 * t) * sin2
            + 0.000289 * sin3;
        var (sinNode, cosNode) = Math.SinCos((125.04 - 1934.136 * t) * Deg);
        var longitude = (meanLongitude + centre - 0.00569 - 0.00478 * sinNode) * Deg;
        var obliquity = (23.4392911 - 0.0130042 * t + 0.00256 * cosNode) * Deg;
        var (sinLon, cosLon) = Math.SinCos(longitude);
        var (sinObl, cosObl) = Math.SinCos(obliquity);
        var sinDec = sinObl * sinLon;
        var rightAscension = Math.Atan2(cosObl * sinLon, cosLon);

        // Nutation in longitude carries sidereal time along: −0.00478° sin Ω cos ε.
        var sidereal =
            (280.46061837 + 360.98564736629 * days - 0.00478 * sinNode * cosObl + lonDeg) * Deg;
        var radius =
            1.000001018
            * (1 - eccentricity * eccentricity)
            / (1 + eccentricity * Math.Cos(anomaly + centre * Deg));
        return (
            sinDec,
            Math.Sqrt(1 - sinDec * sinDec),
            Math.IEEERemainder(sidereal - rightAscension, 2 * Math.PI),
            1 / (radius * radius)
        );
    }
}
