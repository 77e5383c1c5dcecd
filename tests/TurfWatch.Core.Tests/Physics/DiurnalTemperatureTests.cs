using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public sealed class DiurnalTemperatureTests
{
    /// <summary>FAO-56 example 9 (printed 11.7 h; recomputed 11.666): 20° S on 3 September, day 246.</summary>
    [Fact]
    public void Length_of_the_day_is_that_of_the_printed_example() =>
        Assert.Equal(11.666, DiurnalTemperature.DayLengthH(-20, 246), 0.005);

    [Theory]
    [InlineData(80, 172, 24)]
    [InlineData(80, 355, 0)]
    public void Polar_day_and_night_are_whole(double latitude, int day, double hours) =>
        Assert.Equal(hours, DiurnalTemperature.DayLengthH(latitude, day));

    /// <summary>
    /// Second-hand: the tests of the TrenchR library for Parton and Logan's day branch with other constants (maximum 2.59 h
    /// after noon, minimum 1.55 h after sunrise): 10 to 30 °C, sun from 6 to 18 h, at 11 h 23.91954 °C. Their lag a is 2.59 - 1.55 h.
    /// </summary>
    [Fact]
    public void The_days_branch_gives_the_value_of_another_library() =>
        Assert.Equal(
            23.91954,
            DiurnalTemperature.Day(11 - 6 - 1.55, 12, 10, 30, lagH: 2.59 - 1.55),
            1e-5
        );

    [Fact]
    public void The_night_falls_from_sunset_to_the_minimum()
    {
        const double light = 12;
        var night = 24 - light - 0.17;
        Assert.Equal(25, DiurnalTemperature.Night(0, light, 25, 10), 1e-12);
        Assert.Equal(10, DiurnalTemperature.Night(night, light, 25, 10), 1e-12);

        // Recomputed: 10 + 15 (e^(-1.1) - e^(-2.2))/(1 - e^(-2.2)) at half the night.
        Assert.Equal(13.7463, DiurnalTemperature.Night(night / 2, light, 25, 10), 1e-3);
    }

    [Fact]
    public void The_warmest_hour_is_under_two_hours_after_noon_and_the_coldest_at_sunrise()
    {
        // Parton and Logan (1981), Denver: maximum 1.86 - 0.17 h after solar noon, minimum 0.17 h before sunrise, 6 h at the equinox.
        double[] middle = [.. Enumerable.Range(0, 96).Select(q => (q + 0.5) / 4)];
        var air = new double[96];
        var day = new ClimateDay(new(2026, 3, 21), double.NaN, 5, 20, 0);

        DiurnalTemperature.Fill(40, day, day, day, middle, air);

        Assert.Equal(12 + 1.69, middle[Array.IndexOf(air, air.Max())], 0.26);
        Assert.Equal(6 - 0.17, middle[Array.IndexOf(air, air.Min())], 0.26);
    }
}
