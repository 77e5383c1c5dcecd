using System.Text;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests;

/// <summary>
/// R25, held to the .NET time zone engine over the machine's tzdata (TimeZoneInfo), which shares neither code nor
/// data with the NodaTime that computes them.
/// </summary>
public sealed class DueInstantTests
{
    public static TheoryData<string> Zones =>
        [
            "America/New_York",
            "America/Detroit",
            "America/Kentucky/Louisville",
            "America/Kentucky/Monticello",
            "America/Indiana/Indianapolis",
            "America/Indiana/Vincennes",
            "America/Indiana/Winamac",
            "America/Indiana/Marengo",
            "America/Indiana/Petersburg",
            "America/Indiana/Vevay",
            "America/Chicago",
            "America/Indiana/Tell_City",
            "America/Indiana/Knox",
            "America/Menominee",
            "America/North_Dakota/Center",
            "America/North_Dakota/New_Salem",
            "America/North_Dakota/Beulah",
            "America/Denver",
            "America/Boise",
            "America/Phoenix",
            "America/Los_Angeles",
            "America/Anchorage",
            "America/Juneau",
            "America/Sitka",
            "America/Metlakatla",
            "America/Yakutat",
            "America/Nome",
            "America/Adak",
            "Pacific/Honolulu",
            "America/Puerto_Rico",
            "America/St_Thomas",
            "Pacific/Guam",
            "Pacific/Saipan",
            "Pacific/Pago_Pago",
        ];

    [Theory]
    [MemberData(nameof(Zones))]
    public void Each_local_date_from_2026_to_2036_has_one_due_instant(string zoneId)
    {
        var zone = DateTimeZoneProviders.Tzdb[zoneId];
        var other = TimeZoneInfo.FindSystemTimeZoneById(zoneId);
        var wrong = new StringBuilder();
        foreach (var time in new[] { new LocalTime(1, 30), new(2, 0), new(2, 30), new(6, 30) })
        {
            var before = Instant.MinValue;
            for (var date = new LocalDate(2026, 1, 1); date.Year <= 2036; date = date.PlusDays(1))
            {
                var due = LocalDue.At(date, time, zone);
                var expected = Expected(date, time, other);
                if (
                    due.ToDateTimeUtc() != expected
                    || due <= before
                    || due.InZone(zone).Date != date
                )
                {
                    wrong.AppendLine($"{date} {time}: {due}, expected {expected:O}");
                }

                before = due;
            }
        }

        Assert.Equal("", wrong.ToString());
    }

    // From memory, unverified: US daylight time 2027 begins on 14 March and ends on 7 November, at 02:00 local.
    [Theory]
    [InlineData("2027-03-14", 1, 30, "2027-03-14T06:30:00Z")]
    [InlineData("2027-03-14", 2, 30, "2027-03-14T07:00:00Z")]
    [InlineData("2027-11-07", 1, 30, "2027-11-07T05:30:00Z")]
    [InlineData("2027-11-07", 2, 30, "2027-11-07T07:30:00Z")]
    [InlineData("2028-02-29", 6, 30, "2028-02-29T11:30:00Z")]
    public void A_gap_takes_the_first_instant_after_it_and_an_overlap_the_first(
        string date,
        int hour,
        int minute,
        string expected
    )
    {
        var due = LocalDue.At(
            NodaTime.Text.LocalDatePattern.Iso.Parse(date).Value,
            new(hour, minute),
            DateTimeZoneProviders.Tzdb["America/New_York"]
        );
        Assert.Equal(expected, due.ToString());
    }

    [Theory]
    [MemberData(nameof(Zones))]
    public void A_look_each_minute_of_the_clock_change_finds_each_morning_once(string zoneId)
    {
        foreach (var second in new[] { 5400L, 9000L, 23_400L })
        {
            foreach (
                var start in new[]
                {
                    Instant.FromUtc(2027, 3, 13, 0, 0),
                    Instant.FromUtc(2027, 11, 6, 0, 0),
                }
            )
            {
                var found = new List<LocalDate>();
                for (
                    var now = start;
                    now < start + Duration.FromDays(3);
                    now += Duration.FromMinutes(1)
                )
                {
                    found.AddRange(
                        MorningClock
                            .Due(zoneId, second, now - Duration.FromMinutes(1), now)
                            .Select(d => d.Date)
                    );
                }

                Assert.Equal(3, found.Count);
                Assert.Equal(3, found.Distinct().Count());
            }
        }
    }

    private static DateTime Expected(LocalDate date, LocalTime time, TimeZoneInfo zone)
    {
        var local = (date + time).ToDateTimeUnspecified();
        while (zone.IsInvalidTime(local))
        {
            local = local.AddMinutes(1);
        }

        var offset = zone.IsAmbiguousTime(local)
            ? zone.GetAmbiguousTimeOffsets(local).Max()
            : zone.GetUtcOffset(local);
        return DateTime.SpecifyKind(local - offset, DateTimeKind.Utc);
    }
}
