using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class TurfKcTests
{
    // University of California (Meyer et al. 1985), as printed.
    private static readonly double[] Cool =
    [
        .61,
        .64,
        .75,
        1.04,
        .95,
        .88,
        .94,
        .86,
        .74,
        .75,
        .69,
        .60,
    ];

    private static readonly double[] Warm =
    [
        .61,
        .54,
        .76,
        .72,
        .79,
        .68,
        .71,
        .71,
        .62,
        .54,
        .58,
        .55,
    ];

    [Fact]
    public void The_months_are_those_of_the_table()
    {
        Assert.Equal(Cool, Enumerable.Range(1, 12).Select(m => TurfKc.Of(GrassSeason.Cool, m)));
        Assert.Equal(Warm, Enumerable.Range(1, 12).Select(m => TurfKc.Of(GrassSeason.Warm, m)));
    }

    // The page prints 0.80 for the cool-season mean (its months give 0.788).
    [Fact]
    public void The_cool_season_mean_is_the_printed_one() =>
        Assert.Equal(0.80, Cool.Average(), 0.015);

    // New Mexico State University: 0.85 and 0.70 in the season; another table, so a tenth of leeway.
    [Theory]
    [InlineData(GrassSeason.Cool, 0.85)]
    [InlineData(GrassSeason.Warm, 0.70)]
    public void The_growing_season_agrees_with_new_mexicos_figures(GrassSeason season, double kc) =>
        Assert.Equal(kc, Enumerable.Range(4, 7).Average(m => TurfKc.Of(season, m)), 0.05);

    // New Mexico State University: cool-season grass needs about 35 % more.
    [Fact]
    public void Cool_season_grass_drinks_about_a_third_more() =>
        Assert.InRange(
            Enumerable.Range(4, 7).Sum(m => TurfKc.Of(GrassSeason.Cool, m))
                / Enumerable.Range(4, 7).Sum(m => TurfKc.Of(GrassSeason.Warm, m)),
            1.25,
            1.40
        );

    // FAO-56 Table 12: 0.90-0.95 and 0.80-0.85 lie within the doubt that is told.
    [Theory]
    [InlineData(GrassSeason.Cool, 0.95)]
    [InlineData(GrassSeason.Warm, 0.80)]
    public void FAO_56_lies_within_the_doubt(GrassSeason season, double kc) =>
        Assert.InRange(
            kc / Enumerable.Range(4, 7).Average(m => TurfKc.Of(season, m)),
            1 - TurfKc.Doubt,
            1 + TurfKc.Doubt
        );

    [Fact]
    public void A_thirteenth_month_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => TurfKc.Of(GrassSeason.Cool, 13));
}
