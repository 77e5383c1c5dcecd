using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>Eleven hand-made seasons: first freeze usually Oct 12 to Nov 5 (days 103 to 127 after 1 July), last Jan 19 to Feb 4.</summary>
public sealed class FreezeFactsTests
{
    private static readonly PlaceClimate Cold = MadeClimate.Freezes([
        .. Enumerable.Range(0, 11).Select(i => ((int, int)?)(100 + (3 * i), 200 + (2 * i))),
    ]);

    [Theory]
    [InlineData(2026, 8, 30, false)] // 43 days before Oct 12
    [InlineData(2026, 8, 31, true)]
    [InlineData(2026, 10, 20, true)]
    [InlineData(2026, 11, 5, true)]
    [InlineData(2026, 11, 6, false)]
    [InlineData(2026, 5, 13, false)]
    public void The_first_freeze_is_told_from_six_weeks_before_it_to_its_late_end(
        int year,
        int month,
        int day,
        bool told
    )
    {
        var maker = new MorningMaker(new(year, month, day)) { Climate = Cold };

        Assert.Equal(
            told
                ? "usually between Oct 12 and Nov 5 over the wider area (11 winters); low spots freeze earlier and later"
                : null,
            Said(maker, "First freeze here")
        );
    }

    [Theory]
    [InlineData(2026, 12, 7, false)]
    [InlineData(2026, 12, 8, true)]
    [InlineData(2027, 2, 4, true)]
    [InlineData(2027, 2, 5, false)]
    public void The_last_freeze_likewise(int year, int month, int day, bool told)
    {
        var maker = new MorningMaker(new(year, month, day)) { Climate = Cold };

        Assert.Equal(
            told
                ? "usually between Jan 19 and Feb 4 over the wider area (11 winters); low spots freeze earlier and later"
                : null,
            Said(maker, "Last freeze here")
        );
    }

    [Fact]
    public void Once_a_freeze_was_seen_the_first_one_is_no_longer_to_come()
    {
        var maker = new MorningMaker(new(2026, 10, 20)) { Climate = Cold };
        maker[WeatherColumn.AirTemperatureC][maker.Hour(5, -3)] = -0.5;
        Assert.Null(Said(maker, "First freeze here"));

        var ahead = new MorningMaker(new(2026, 10, 20)) { Climate = Cold };
        ahead[WeatherColumn.AirTemperatureC][ahead.Hour(5, 1)] = -0.5;
        Assert.NotNull(Said(ahead, "First freeze here"));
    }

    [Fact]
    public void Winters_without_a_freeze_are_told()
    {
        var mild = MadeClimate.Freezes([
            .. Enumerable.Range(0, 8).Select(i => ((int, int)?)(150 + i, 190 + i)),
            null,
            null,
            null,
        ]);
        var maker = new MorningMaker(new(2026, 11, 20)) { Climate = mild };

        Assert.Equal(
            "seldom before Nov 29 over the wider area (11 winters, 3 without a freeze); low spots freeze more often",
            Said(maker, "First freeze here")
        );
    }

    [Fact]
    public void A_metric_reader_reads_the_day_first()
    {
        var maker = new MorningMaker(new(2026, 10, 20)) { Climate = Cold };
        maker.Lawn = maker.Lawn with { Units = UnitSystem.Metric };

        Assert.StartsWith(
            "usually between 12 Oct and 5 Nov",
            Said(maker, "First freeze here"),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Without_a_climate_nothing_is_said() =>
        Assert.Null(Said(new MorningMaker(new(2026, 10, 20)), "First freeze here"));

    private static string? Said(MorningMaker maker, string label) =>
        maker
            .Briefing()
            .Facts.Where(f => f.Label.InUs(maker.Zone) == label)
            .Select(f => f.Value.InUs(maker.Zone))
            .SingleOrDefault();
}
