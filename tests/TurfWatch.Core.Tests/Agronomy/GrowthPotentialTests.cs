using CsCheck;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class GrowthPotentialTests
{
    private static readonly Grass Cool = Grasses.Of(GrassKind.PerennialRyegrass);
    private static readonly Grass Warm = Grasses.Of(GrassKind.Bermuda);

    // Gelernter & Stowell 2005, worked out independently from the published equation.
    [Theory]
    [InlineData(5, 0.0243)]
    [InlineData(10, 0.1915)]
    [InlineData(15, 0.6615)]
    [InlineData(20, 1)]
    [InlineData(25, 0.6615)]
    [InlineData(30, 0.1915)]
    public void Cool_season_grass_follows_the_published_curve(double meanC, double expected) =>
        Assert.Equal(expected, GrowthPotential.Of(Cool, meanC), 0.0001);

    [Theory]
    [InlineData(10, 0.0111)]
    [InlineData(15, 0.0734)]
    [InlineData(20, 0.2909)]
    [InlineData(25, 0.6926)]
    [InlineData(28, 0.9123)]
    [InlineData(31, 1)]
    public void Warm_season_grass_follows_the_published_curve(double meanC, double expected) =>
        Assert.Equal(expected, GrowthPotential.Of(Warm, meanC), 0.0001);

    // Published by users of the model as "about 24.8 °C"; 24.84 when solved.
    [Fact]
    public void The_two_curves_cross_at_24_8_degrees()
    {
        Assert.True(GrowthPotential.Of(Cool, 24.80) > GrowthPotential.Of(Warm, 24.80));
        Assert.True(GrowthPotential.Of(Cool, 24.88) < GrowthPotential.Of(Warm, 24.88));
    }

    // The authors' later revision.
    [Fact]
    public void Warm_season_grass_does_not_slow_above_its_optimum() =>
        Assert.Equal(1, GrowthPotential.Of(Warm, 38));

    [Fact]
    public void It_lies_between_none_and_full_and_never_falls_towards_the_optimum() =>
        Gen.Select(Gen.Double[-40, 19.9], Gen.Double[0, 5])
            .Sample(
                (t, step) =>
                {
                    var here = GrowthPotential.Of(Cool, t);
                    var nearer = GrowthPotential.Of(Cool, Math.Min(20, t + step));
                    Assert.InRange(here, 0, 1);
                    Assert.True(nearer >= here);
                }
            );

    [Fact]
    public void A_temperature_in_fahrenheit_is_refused_with_the_range()
    {
        var error = Assert.Throws<ArgumentOutOfRangeException>(() => GrowthPotential.Of(Cool, 88));
        Assert.Contains("-60 and 60", error.Message, StringComparison.Ordinal);
        Assert.Contains("88", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void An_unknown_temperature_gives_an_unknown_potential() =>
        Assert.True(double.IsNaN(GrowthPotential.Of(Cool, double.NaN)));
}
