using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class LeafWaterTests
{
    [Fact]
    public void The_closed_solution_is_what_small_steps_lead_to()
    {
        // dW/dt = -E (W/Wmax)^(2/3), by ten thousand Euler steps.
        double water = 0.05;
        for (var i = 0; i < 10_000; i++)
        {
            water -= 0.06 / 10_000 * Math.Pow(water / 0.08, 2.0 / 3);
        }

        Check.Near(water, LeafWater.Left(Math.Cbrt(0.05 / 0.08), 0.08, 0.06), 1e-5);
    }

    [Fact]
    public void Evaporation_never_adds_water_and_never_takes_more_than_there_is() =>
        Gen.Select(Gen.Double[0, 0.1], Gen.Double[0, 1])
            .Sample(
                (water, evaporated) =>
                    LeafWater.Left(Math.Cbrt(water / 0.1), 0.1, evaporated) is var left
                    && left >= 0
                    && left <= water + 1e-15
            );

    [Theory]
    [InlineData(0, 0, 0)]
    [InlineData(0.08, 0.05, 1)]
    [InlineData(0, 0.05, 0.5)]
    public void The_wet_share_of_an_hour(double before, double after, double expected) =>
        Assert.Equal(expected, LeafWater.WetShare(before, after, 0.08), 1e-9);

    [Theory]
    // A tenth of 2.5 mm/h falls in six minutes in the middle of the hour; nothing dries it: wet from then on.
    [InlineData(0.25, 0, 0.1, -0.1, 0.1 + 0.45)]
    // The same in sun that takes 1 mm an hour from wet leaves: 3·0.1·(1 - 0.25^⅓) hours of film behind the shower.
    [InlineData(0.25, 0, 0.1, 1, 0.1 + 0.111012)]
    // Wet before it and nothing dries: wet throughout.
    [InlineData(0.25, 0.1, 0.1, 0, 1)]
    // As much as fills the hour.
    [InlineData(2.5, 0, 0.1, 1, 1)]
    [InlineData(12, 0, 0.1, 1, 1)]
    public void A_shower_wets_its_part_of_the_hour(
        double rain,
        double before,
        double after,
        double potential,
        double expected
    ) =>
        Assert.Equal(expected, LeafWater.WetShareInRain(rain, before, after, 0.1, potential), 1e-6);

    [Fact]
    public void A_film_that_dries_up_within_the_hour_is_wet_for_part_of_it() =>
        Assert.InRange(LeafWater.WetShare(0.05, 0, 0.08), 0.2, 0.8);
}
