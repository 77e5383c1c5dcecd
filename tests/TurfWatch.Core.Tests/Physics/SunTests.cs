using CsCheck;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SunTests
{
    private static readonly InstantPattern Utc = InstantPattern.CreateWithInvariantCulture(
        "uuuu-MM-ddTHH:mm:ss"
    );

    // Reda and Andreas (2008), NREL/TP-560-34302, worked example: 2003-10-17 12:30:30 UTC−7, refraction taken out.
    [Fact]
    public void Position_agrees_with_the_worked_example_of_NREL()
    {
        var sun = Sun.Position(Instant.FromUtc(2003, 10, 17, 19, 30, 30), 39.742476, -105.1786);
        Check.Near(39.872046, sun.ElevationDeg, 0.005);
        Check.Near(194.340241, sun.AzimuthDeg, 0.005);
        Check.Near(-9.31434, sun.DeclinationRad * 180 / Math.PI, 0.003);
        Check.Near(0.9965422974, Math.Sqrt(1 / sun.DistanceFactor), 5e-5);
        Check.Near(Math.Sin(39.872046 * Math.PI / 180), sun.CosZenith, 1e-4);
    }

    [Fact]
    public void Position_agrees_with_a_planetary_theory_over_forty_years()
    {
        foreach (var row in ReferenceTable.Rows("sun-positions.csv"))
        {
            var moment = InstantPattern.General.Parse(row["utc"]).Value;
            var sun = Sun.Position(moment, row.Number("latitude"), row.Number("longitude"));
            Assert.Equal(row.Number("elevation_deg"), sun.ElevationDeg, 0.012);
            Assert.Equal(row.Number("declination_deg"), sun.DeclinationRad * 180 / Math.PI, 0.006);
            Check.Close(row.Number("distance_au"), Math.Sqrt(1 / sun.DistanceFactor), 1.5e-4);

            // Near the zenith a small angle is a wide bearing.
            var turn = Math.IEEERemainder(row.Number("azimuth_deg") - sun.AzimuthDeg, 360);
            Assert.Equal(0, turn * Math.Cos(sun.ElevationDeg * Math.PI / 180), 0.012);
        }
    }

    // NREL's algorithm, as in the tests of pvlib-python: Golden, Colorado, clock UTC−7. Its days are days of UTC, so the
    // sunset it prints under 2 August 2015 is that of the evening of the 1st.
    [Theory]
    [InlineData("2015-01-02", "07:21:55", "12:04:45", "16:47:43")]
    [InlineData("2015-08-01", null, null, "19:13:58")]
    [InlineData("2015-08-02", "05:00:27", "12:06:58", null)]
    public void Rise_noon_and_set_agree_with_NREL_in_Colorado(
        string date,
        string? rise,
        string? noon,
        string? set
    )
    {
        var zone = DateTimeZone.ForOffset(Offset.FromHours(-7));
        AgreesWithin(5, date, zone, 39.742476, -105.1786, rise, noon, set);
    }

    // The same at 35° S on the meridian, clock UT.
    [Theory]
    [InlineData("1996-07-05", "07:08:15", "12:04:36", "17:01:04")]
    [InlineData("2004-12-04", "04:38:57", "11:50:22", "19:02:03")]
    public void Rise_noon_and_set_agree_with_NREL_in_the_south(
        string date,
        string rise,
        string noon,
        string set
    ) => AgreesWithin(5, date, DateTimeZone.Utc, -35, 0, rise, noon, set);

    [Fact]
    public void Rise_noon_and_set_agree_with_a_planetary_theory_from_Guam_to_the_Arctic()
    {
        foreach (var row in ReferenceTable.Rows("sun-times.csv"))
        {
            var times = Sun.ForDate(
                LocalDatePattern.Iso.Parse(row["local_date"]).Value,
                DateTimeZoneProviders.Tzdb[row["zone"]],
                row.Number("latitude"),
                row.Number("longitude")
            );

            // Near the Arctic Circle the sun skims the horizon: a hundredth of a degree is minutes.
            var seconds = row.Number("latitude") > 70 ? 60 : 20;
            Near(row["solar_noon_utc"], times.SolarNoon, 10);
            Near(row["sunrise_utc"], times.Sunrise, seconds);
            Near(row["sunset_utc"], times.Sunset, seconds);
        }
    }

    [Fact]
    public void Polar_day_has_24_hours_and_polar_night_none()
    {
        var zone = DateTimeZoneProviders.Tzdb["America/Anchorage"];
        var summer = Sun.ForDate(new(2026, 6, 21), zone, 71.29, -156.79);
        var winter = Sun.ForDate(new(2026, 12, 21), zone, 71.29, -156.79);
        Assert.Equal(
            (null, null, Duration.FromHours(24)),
            (summer.Sunrise, summer.Sunset, summer.DayLength)
        );
        Assert.Equal(
            (null, null, Duration.Zero),
            (winter.Sunrise, winter.Sunset, winter.DayLength)
        );
        Assert.Equal(
            24,
            Sun.ForDate(new(2026, 6, 21), DateTimeZone.Utc, 90, 0).DayLength.TotalHours
        );
        Assert.Equal(
            0,
            Sun.ForDate(new(2026, 6, 21), DateTimeZone.Utc, -90, 0).DayLength.TotalHours
        );
    }

    [Fact]
    public void A_local_date_keeps_its_sunrise_on_both_days_of_a_clock_change()
    {
        var zone = DateTimeZoneProviders.Tzdb["America/Chicago"];
        foreach (var date in new LocalDate[] { new(2026, 3, 8), new(2026, 11, 1) })
        {
            var times = Sun.ForDate(date, zone, 29.42, -98.49);
            Assert.Equal(date, times.Sunrise!.Value.InZone(zone).Date);
            Assert.Equal(date, times.Sunset!.Value.InZone(zone).Date);
        }
    }

    [Fact]
    public void Mean_over_the_hour_equals_the_average_of_many_moments() =>
        Gen.Select(Gen.Long[0, 4_000_000_000], Gen.Double[-89, 89], Gen.Double[-180, 180])
            .Sample(
                (end, lat, lon) =>
                {
                    var sum = 0.0;
                    for (var s = 5; s < 3600; s += 10)
                    {
                        sum += Math.Max(0, Sun.Position(end - s, lat, lon).CosZenith);
                    }

                    Assert.Equal(sum / 360, Sun.MeanCosZenithOverHour((double)end, lat, lon), 2e-4);
                },
                iter: 500
            );

    [Fact]
    public void Rise_and_set_enclose_noon_and_the_sun_is_on_the_horizon_then() =>
        Gen.Select(Gen.Int[0, 20000], Gen.Double[-65, 65], Gen.Double[-179, 179])
            .Sample(
                (day, lat, lon) =>
                {
                    var times = Sun.ForDate(
                        new LocalDate(1990, 1, 1).PlusDays(day),
                        DateTimeZone.ForOffset(Offset.FromHours((int)Math.Round(lon / 15))),
                        lat,
                        lon
                    );
                    Assert.True(times.Sunrise < times.SolarNoon && times.SolarNoon < times.Sunset);
                    Assert.Equal(
                        -0.833,
                        Sun.Position(times.Sunrise!.Value, lat, lon).ElevationDeg,
                        1e-3
                    );
                    Assert.Equal(
                        -0.833,
                        Sun.Position(times.Sunset!.Value, lat, lon).ElevationDeg,
                        1e-3
                    );
                },
                iter: 1000
            );

    [Fact]
    public void Both_overloads_agree_and_unknown_in_is_unknown_out()
    {
        var moment = Instant.FromUtc(2026, 5, 1, 17, 0);
        Assert.Equal(
            Sun.Position(moment, 30, -98),
            Sun.Position((double)moment.ToUnixTimeSeconds(), 30, -98)
        );
        Assert.Equal(
            Sun.MeanCosZenithOverHour(moment, 30, -98),
            Sun.MeanCosZenithOverHour((double)moment.ToUnixTimeSeconds(), 30, -98)
        );
        Assert.Equal(double.NaN, Sun.Position(double.NaN, 30, -98).CosZenith);
        Assert.Equal(double.NaN, Sun.MeanCosZenithOverHour(double.NaN, 30, -98));
        Assert.Equal(double.NaN, Sun.MeanCosZenithOverHour(moment, double.NaN, -98));
    }

    [Fact]
    public void Swapped_latitude_and_longitude_are_refused() =>
        Assert.Contains(
            "latDeg is -98.5, outside -90 to 90",
            Assert
                .Throws<ArgumentOutOfRangeException>(() => Sun.Position(0.0, -98.5, 29.4))
                .Message,
            StringComparison.Ordinal
        );

    private static void AgreesWithin(
        int seconds,
        string date,
        DateTimeZone zone,
        double lat,
        double lon,
        string? rise,
        string? noon,
        string? set
    )
    {
        var day = LocalDatePattern.Iso.Parse(date).Value;
        var times = Sun.ForDate(day, zone, lat, lon);
        Moment(rise, times.Sunrise);
        Moment(noon, times.SolarNoon);
        Moment(set, times.Sunset);

        void Moment(string? clock, Instant? found)
        {
            if (clock is not null)
            {
                var time = LocalTimePattern.ExtendedIso.Parse(clock).Value;
                var expected = day.At(time).InZoneStrictly(zone).ToInstant();
                Assert.InRange((found!.Value - expected).TotalSeconds, -seconds, seconds);
            }
        }
    }

    private static void Near(string expected, Instant? found, int seconds)
    {
        if (expected.Length == 0)
        {
            Assert.Null(found);
            return;
        }

        Assert.InRange((found!.Value - Utc.Parse(expected).Value).TotalSeconds, -seconds, seconds);
    }
}
