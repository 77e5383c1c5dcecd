using NodaTime;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Weather.Tests.Places;

public sealed class ZipDirectoryTests
{
    // Towns: USPS city names. Points: the towns, from memory, to 0.3 degrees, for a
    // code's area reaches beyond its town (ZipCrossCheckTests holds the points to the Census gazetteer).
    // Zones: 49 CFR Part 71 and the zone descriptions in tzdb's zone1970.tab.
    [Theory]
    [InlineData("10001", "New York", "NY", 40.75, -74.00, "America/New_York")]
    [InlineData("02108", "Boston", "MA", 42.36, -71.06, "America/New_York")]
    [InlineData("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix")]
    [InlineData("86515", "Window Rock", "AZ", 35.65, -109.10, "America/Denver")] // Navajo Nation
    [InlineData("86043", "Second Mesa", "AZ", 35.75, -110.51, "America/Phoenix")] // Hopi
    [InlineData("86040", "Page", "AZ", 36.80, -111.40, "America/Phoenix")]
    [InlineData("96813", "Honolulu", "HI", 21.31, -157.86, "Pacific/Honolulu")]
    [InlineData("99501", "Anchorage", "AK", 61.21, -149.88, "America/Anchorage")]
    [InlineData("99546", "Adak", "AK", 51.88, -176.65, "America/Adak")]
    [InlineData("00901", "San Juan", "PR", 18.46, -66.11, "America/Puerto_Rico")]
    [InlineData("00802", "St Thomas", "VI", 18.34, -64.93, "America/St_Thomas")]
    [InlineData("96910", "Hagatna", "GU", 13.47, 144.75, "Pacific/Guam")]
    [InlineData("96950", "Saipan", "MP", 15.19, 145.75, "Pacific/Guam")]
    [InlineData("96799", "Pago Pago", "AS", -14.31, -170.72, "Pacific/Pago_Pago")]
    [InlineData("47713", "Evansville", "IN", 37.96, -87.56, "America/Chicago")]
    [InlineData("46204", "Indianapolis", "IN", 39.77, -86.16, "America/Indiana/Indianapolis")]
    [InlineData("46534", "Knox", "IN", 41.28, -86.62, "America/Indiana/Knox")]
    [InlineData("42101", "Bowling Green", "KY", 37.00, -86.45, "America/Chicago")]
    [InlineData("40202", "Louisville", "KY", 38.25, -85.75, "America/Kentucky/Louisville")]
    [InlineData("37919", "Knoxville", "TN", 35.92, -84.00, "America/New_York")]
    [InlineData("37203", "Nashville", "TN", 36.15, -86.79, "America/Chicago")]
    [InlineData("32501", "Pensacola", "FL", 30.42, -87.22, "America/Chicago")]
    [InlineData("32301", "Tallahassee", "FL", 30.43, -84.26, "America/New_York")]
    [InlineData("58601", "Dickinson", "ND", 46.88, -102.79, "America/Denver")]
    [InlineData("57701", "Rapid City", "SD", 44.08, -103.22, "America/Denver")]
    [InlineData("57770", "Pine Ridge", "SD", 43.05, -102.55, "America/Denver")]
    [InlineData("69361", "Scottsbluff", "NE", 41.88, -103.66, "America/Denver")]
    [InlineData("67735", "Goodland", "KS", 39.35, -101.71, "America/Denver")]
    [InlineData("83814", "Coeur d'Alene", "ID", 47.69, -116.78, "America/Los_Angeles")]
    [InlineData("83702", "Boise", "ID", 43.66, -116.19, "America/Boise")]
    [InlineData("97914", "Ontario", "OR", 44.03, -117.00, "America/Boise")]
    [InlineData("97205", "Portland", "OR", 45.52, -122.70, "America/Los_Angeles")]
    [InlineData("49938", "Ironwood", "MI", 46.46, -90.15, "America/Menominee")]
    [InlineData("79901", "El Paso", "TX", 31.76, -106.48, "America/Denver")]
    [InlineData("78205", "San Antonio", "TX", 29.42, -98.49, "America/Chicago")]
    [InlineData("89883", "West Wendover", "NV", 40.74, -114.07, "America/Denver")]
    public void Known_zip_codes_are_where_they_are(
        string zip,
        string name,
        string state,
        double latitude,
        double longitude,
        string zone
    )
    {
        var place = ZipDirectory.Lookup(zip).Place;

        Assert.NotNull(place);
        Assert.Equal((zip, name, state, zone), (place.Zip, place.Name, place.State, place.ZoneId));
        Assert.InRange(place.LatitudeDeg, latitude - 0.3, latitude + 0.3);
        Assert.InRange(place.LongitudeDeg, longitude - 0.3, longitude + 0.3);
    }

    [Theory]
    [InlineData("85719")]
    [InlineData("85719-1234")]
    [InlineData("85719 1234")]
    [InlineData("  85719\t")]
    public void Blanks_and_the_four_extra_digits_are_accepted(string typed) =>
        Assert.Equal("85719", ZipDirectory.Lookup(typed).Place?.Zip);

    [Fact]
    public void Leading_zeros_are_kept() =>
        Assert.Equal("00501", ZipDirectory.Lookup("00501").Place?.Zip);

    [Theory]
    [InlineData("")]
    [InlineData("8571")]
    [InlineData("857190")]
    [InlineData("85719-12")]
    [InlineData("8571O")]
    [InlineData("Tucson")]
    [InlineData("٨٥٧١٩")] // digits, but not these
    [InlineData("85719_1234")]
    public void A_malformed_code_is_told_the_form(string typed)
    {
        var answer = ZipDirectory.Lookup(typed);

        Assert.Null(answer.Place);
        Assert.Contains("five digits", answer.Problem, StringComparison.Ordinal);
        Assert.Contains($"\"{typed}\"", answer.Problem, StringComparison.Ordinal);
    }

    // Prefixes of the armed forces: USPS Publication 65.
    [Theory]
    [InlineData("09012", "Europe")]
    [InlineData("34002", "Americas")]
    [InlineData("96201", "Pacific")]
    [InlineData("96698", "Pacific")]
    public void A_military_code_asks_for_the_town_of_the_lawn(string zip, string region)
    {
        var answer = ZipDirectory.Lookup(zip);

        Assert.Null(answer.Place);
        Assert.Contains(region, answer.Problem, StringComparison.Ordinal);
        Assert.Contains("military", answer.Problem, StringComparison.Ordinal);
        Assert.Contains("Enter the ZIP code of the town", answer.Problem, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("00000")]
    [InlineData("99999")]
    [InlineData("00400")]
    public void An_unknown_code_asks_for_a_nearby_one(string zip)
    {
        var answer = ZipDirectory.Lookup(zip);

        Assert.Null(answer.Place);
        Assert.Contains("enter a nearby one", answer.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_place_is_found_by_its_own_code_and_has_a_zone_and_a_point_in_the_United_States()
    {
        var places = ZipDirectory.All().ToList();

        var known = DateTimeZoneProviders.Tzdb.Ids.ToHashSet();
        Assert.InRange(places.Count, 41_000, 42_000);
        foreach (var place in places)
        {
            Assert.Equal(place, ZipDirectory.Lookup(place.Zip).Place);
            Assert.Contains(place.ZoneId, known);
            Assert.InRange(place.LatitudeDeg, -15, 72);
            Assert.True(
                place.LongitudeDeg is > -180 and < -64 or > 144 and < 180,
                place.ToString()
            );
            Assert.NotEmpty(place.Name);
        }
    }

    [Fact]
    public void Arizona_keeps_standard_time_in_July_and_the_Navajo_Nation_does_not()
    {
        var july = Instant.FromUtc(2026, 7, 15, 12, 0);

        Assert.Equal(Offset.FromHours(-7), OffsetAt("85719", july));
        Assert.Equal(Offset.FromHours(-6), OffsetAt("86045", july)); // Tuba City
    }

    private static Offset OffsetAt(string zip, Instant at) =>
        ZipDirectory.Lookup(zip).Place!.Zone.GetUtcOffset(at);
}
