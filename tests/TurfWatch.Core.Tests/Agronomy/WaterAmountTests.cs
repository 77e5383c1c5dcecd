using CsCheck;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class WaterAmountTests
{
    // From the definitions: a US gallon is 231 cubic inches, so an inch on 1,000 sq ft is 144,000 / 231 gallons.
    [Fact]
    public void An_inch_on_a_thousand_square_feet_is_623_gallons() =>
        Assert.Equal(
            144_000 / 231.0,
            WaterAmount.Litres(25.4, 92.90304) / WaterAmount.LitresPerGallon,
            1e-6
        );

    // The Lawn Institute prints beside its intake rates how long an inch takes to sink in: 0.5, 1, 2, 3.3, 5 h.
    [Theory]
    [InlineData(SoilTexture.Sand, 0.5)]
    [InlineData(SoilTexture.SandyLoam, 1)]
    [InlineData(SoilTexture.Loam, 2)]
    [InlineData(SoilTexture.ClayLoam, 3.3)]
    [InlineData(SoilTexture.Clay, 5)]
    public void Intake_agrees_with_the_printed_time_for_an_inch(SoilTexture soil, double hours) =>
        Assert.Equal(hours, 25.4 / WaterAmount.IntakeMmH(soil), 0.05);

    [Fact]
    public void A_slow_sprinkler_on_sand_runs_in_one_go()
    {
        var run = WaterAmount.Run(12.7, 25.4, SoilTexture.Sand);
        Assert.Equal((30, 1, 0), (run.Minutes, run.Cycles, run.SoakMinutes));
    }

    // By hand: half an inch at 1.5 in/h is 20 min. Clay loam takes 0.3 in/h, so 1.2 in/h is too much and
    // 0.4 in would stand; 0.1 in may (judgement), so 4 goes of 5 min, and 0.1 in at 0.3 in/h sinks in within 20 min.
    [Fact]
    public void A_fast_sprinkler_on_clay_loam_runs_in_goes()
    {
        var run = WaterAmount.Run(12.7, 38.1, SoilTexture.ClayLoam);
        Assert.Equal(20, run.Minutes, 1e-9);
        Assert.Equal(4, run.Cycles);
        Assert.Equal(5, run.MinutesEach, 1e-9);
        Assert.Equal(20, run.SoakMinutes, 1e-9);
    }

    [Fact]
    public void Goes_give_the_whole_depth_and_never_let_more_stand_than_the_grass_holds() =>
        Gen.Select(Gen.Double[1, 60], Gen.Double[1, 200], Gen.Enum<SoilTexture>())
            .Sample(
                (depth, rate, soil) =>
                {
                    var run = WaterAmount.Run(depth, rate, soil);
                    Assert.Equal(depth, run.Cycles * run.MinutesEach * rate / 60, 1e-6);
                    var intake = WaterAmount.IntakeMmH(soil);
                    var standing = (rate - intake) * run.MinutesEach / 60;
                    Assert.True(standing <= WaterAmount.StandingMm + 1e-6);
                    Assert.True(
                        run.Cycles == 1 || Math.Abs(run.SoakMinutes / 60 * intake - standing) < 1e-6
                    );
                }
            );

    [Theory]
    [InlineData(0, 25)]
    [InlineData(300, 25)]
    [InlineData(10, 0.5)]
    [InlineData(10, double.NaN)]
    public void What_cannot_be_is_refused(double depth, double rate) =>
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            WaterAmount.Run(depth, rate, SoilTexture.Loam)
        );
}
