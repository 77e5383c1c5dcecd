using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Weather.Tests.Places;

public sealed class ZoneNamesTests
{
    private static readonly Core.Place Here = ZipDirectory.Lookup("85719").Place!;

    [Theory]
    [InlineData("America/Denver", "America/Denver")]
    [InlineData(" america/denver ", "America/Denver")]
    [InlineData("america/new york", "America/New_York")]
    [InlineData("US/Eastern", "US/Eastern")]
    public void The_owner_can_set_the_zone(string typed, string taken)
    {
        var answer = ZipDirectory.WithZone(Here, typed);

        Assert.Null(answer.Problem);
        Assert.Equal(Here with { ZoneId = taken }, answer.Place);
    }

    [Theory]
    [InlineData("America/Pheonix", "America/Phoenix")]
    [InlineData("Phoenix", "America/Phoenix")]
    [InlineData("Eastern", "America/New_York")]
    [InlineData("Pacific Standard Time", "America/Los_Angeles")]
    [InlineData("EST", "America/New_York")] // an id of tzdb, but one without daylight time
    [InlineData("Indianapolis", "America/Indiana/Indianapolis")]
    [InlineData("UTC-7", "America/")]
    [InlineData("Etc/GMT+7", "America/")]
    [InlineData("", "America/")]
    public void An_unknown_zone_is_answered_with_near_ones(string typed, string suggested)
    {
        var answer = ZipDirectory.WithZone(Here, typed);

        Assert.Null(answer.Place);
        Assert.Contains(
            $"\"{typed}\" is not a time zone",
            answer.Problem,
            StringComparison.Ordinal
        );
        Assert.Contains(suggested, answer.Problem, StringComparison.Ordinal);
    }
}
