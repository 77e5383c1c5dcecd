using CsCheck;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class OneThirdRuleTests
{
    // University of Tennessee (Sorochan), "mow at" column, inches.
    [Theory]
    [InlineData(2, 3)]
    [InlineData(3, 4.5)]
    public void A_lawn_is_due_at_one_and_a_half_times_its_height(double setIn, double dueIn) =>
        Assert.Equal(dueIn * 2.54, OneThirdRule.DueHeightCm(setIn * 2.54), 9);

    [Fact]
    public void A_lawn_that_got_away_comes_down_in_cuts_of_a_third_at_most() =>
        Gen.Select(Gen.Double[0.5, 15], Gen.Double[1, 4])
            .Sample(
                (set, times) =>
                {
                    var height = set * times;
                    var steps = OneThirdRule.Steps(height, set);
                    foreach (var step in steps)
                    {
                        Assert.InRange(step, height * 2 / 3 - 1e-9, height);
                        height = step;
                    }

                    Assert.Equal(set, height, 1e-6);
                }
            );

    [Fact]
    public void Nine_inches_to_three_takes_three_cuts() =>
        Assert.Equal([6, 4, 3], OneThirdRule.Steps(9, 3));

    [Fact]
    public void Grass_at_its_height_needs_no_cut() => Assert.Empty(OneThirdRule.Steps(7, 7));

    [Theory]
    [InlineData(0)]
    [InlineData(40 * 2.54)]
    [InlineData(double.NaN)]
    public void A_height_no_lawn_is_cut_at_is_refused_with_the_range(double setCm)
    {
        var error = Assert.Throws<ArgumentOutOfRangeException>(() =>
            OneThirdRule.DueHeightCm(setCm)
        );
        Assert.Contains("0.5 and 15 cm", error.Message, StringComparison.Ordinal);
    }
}
