using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests;

/// <summary>
/// The quantiles are those of Hyndman and Fan (1996), The American Statistician 50:361, definition 7:
/// the k-th of n values in order lies at p = (k - 1)/(n - 1). Eleven seasons make 0.1 and 0.9 fall on values.
/// </summary>
public sealed class UsualFreezeTests
{
    [Fact]
    public void Eight_of_ten_seasons_lie_between_the_second_and_the_last_but_one_of_eleven()
    {
        // First freezes on days 100, 103 … 130 after 1 July, last ones on 200, 202 … 220, in no order.
        int[] order = [5, 0, 9, 3, 10, 1, 7, 2, 8, 4, 6];
        var climate = MadeClimate.Freezes([
            .. order.Select(i => ((int, int)?)(100 + (3 * i), 200 + (2 * i))),
        ]);

        var first = UsualFreeze.First(climate);
        Assert.Equal((103, 127), (first.Early!.Value.Days, first.Late!.Value.Days));
        Assert.Equal((11, 0), (first.Seasons, first.WithoutFreeze));
        Assert.Equal(new(2026, 10, 12), first.Early.Value.In(2026)); // 31 + 31 + 30 days are July to September, and 11 more
        var last = UsualFreeze.Last(climate);
        Assert.Equal((202, 218), (last.Early!.Value.Days, last.Late!.Value.Days));
    }

    [Fact]
    public void Between_two_seasons_it_is_linear()
    {
        // 19 seasons on days 1 to 19: places 1 + 18 × 0.1 = 2.8 and 17.2, rounded to days 3 and 17.
        var climate = MadeClimate.Freezes([
            .. Enumerable.Range(1, 19).Select(d => ((int, int)?)(d, d)),
        ]);

        var first = UsualFreeze.First(climate);
        Assert.Equal((3, 17), (first.Early!.Value.Days, first.Late!.Value.Days));
    }

    [Fact]
    public void A_season_without_a_freeze_counts_as_later_for_the_first_and_earlier_for_the_last()
    {
        // Three of eleven have none: nine in ten do not freeze by any day, and one in ten has its first by day 151.
        var climate = MadeClimate.Freezes([
            .. Enumerable.Range(0, 8).Select(i => ((int, int)?)(150 + i, 190 + i)),
            null,
            null,
            null,
        ]);

        var first = UsualFreeze.First(climate);
        Assert.Equal(151, first.Early!.Value.Days);
        Assert.Null(first.Late);
        Assert.Equal((11, 3), (first.Seasons, first.WithoutFreeze));
        var last = UsualFreeze.Last(climate);
        Assert.Null(last.Early);
        Assert.Equal(196, last.Late!.Value.Days);
    }

    [Fact]
    public void Where_it_does_not_freeze_there_is_nothing_usual()
    {
        var climate = MadeClimate.Freezes([.. Enumerable.Repeat(((int, int)?)null, 15)]);

        Assert.Equal(new UsualFreeze(null, null, 15, 15), UsualFreeze.First(climate));
        Assert.Equal(new UsualFreeze(null, null, 15, 15), UsualFreeze.Last(climate));
    }
}
