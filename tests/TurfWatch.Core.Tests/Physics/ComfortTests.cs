using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class ComfortTests
{
    // Values of the NWS heat index calculator (second-hand, MetPy's tests) and of its chart, in °F; both print whole degrees.
    [Theory]
    [InlineData(86, 45, 87)]
    [InlineData(111, 27, 121)]
    [InlineData(96, 60, 116)]
    [InlineData(96, 65, 121)]
    [InlineData(88, 100, 121)]
    [InlineData(110, 40, 136)]
    [InlineData(92, 70, 112)]
    [InlineData(86, 88, 104)]
    public void Heat_index_agrees_with_the_weather_service(double t, double rh, double index) =>
        Check.Near(index, Fahrenheit(HeatIndex.Celsius(Celsius(t), rh)), 0.6);

    // The same regression unrounded, recomputed by hand; the last two with the moist (+1.00) and the dry (−1.68) adjustment.
    [Theory]
    [InlineData(86, 45, 86.57)]
    [InlineData(111, 27, 121.03)]
    [InlineData(96, 60, 116.13)]
    [InlineData(82, 95, 93.97)]
    [InlineData(100, 5, 92.50)]
    public void Heat_index_follows_its_regression(double t, double rh, double index) =>
        Check.Near(index, Fahrenheit(HeatIndex.Celsius(Celsius(t), rh)), 0.01);

    [Fact]
    public void Heat_index_is_never_far_below_the_air_and_rises_with_humidity_when_hot() =>
        Gen.Select(Gen.Double[-40, 43], Gen.Double[0, 99])
            .Sample(
                (t, rh) =>
                {
                    var index = HeatIndex.Celsius(t, rh);
                    Assert.InRange(index, t - 6, t + 75);
                    if (t > 28 && rh > 42)
                    {
                        Assert.True(HeatIndex.Celsius(t, rh + 1) > index);
                    }
                }
            );

    // NWS wind chill chart (2001), °F and mph; whole degrees, and one row with the exact formula.
    [Theory]
    [InlineData(40, 5, 36)]
    [InlineData(20, 15, 6)]
    [InlineData(0, 30, -26)]
    [InlineData(-10, 55, -46)]
    public void Wind_chill_agrees_with_the_chart(double t, double mph, double chill) =>
        Check.Near(chill, Fahrenheit(WindChill.Celsius(Celsius(t), mph * 0.44704)), 0.6);

    [Fact]
    public void Wind_chill_follows_its_formula() =>
        Check.Near(2.64, Fahrenheit(WindChill.Celsius(Celsius(10), 4 * 0.44704)), 0.03);

    [Fact]
    public void Wind_chill_is_the_air_temperature_when_mild_or_calm()
    {
        Assert.Equal(10.1, WindChill.Celsius(10.1, 12));
        Assert.Equal(-5, WindChill.Celsius(-5, 1.3));
    }

    [Fact]
    public void Wind_chill_is_below_the_air_and_falls_with_wind() =>
        Gen.Select(Gen.Double[-50, 9], Gen.Double[1.5, 40])
            .Sample(
                (t, wind) =>
                {
                    var chill = WindChill.Celsius(t, wind);
                    Assert.True(chill < t + 0.6);
                    Assert.True(WindChill.Celsius(t, wind + 1) < chill);
                }
            );

    // McMaster and Wilhelm (1997), method 1: 20 and 4 °C on base 10 °C.
    [Fact]
    public void Degree_days_of_the_mean()
    {
        Assert.Equal(2, DegreeDays.Mean(20, 4, 10));
        Assert.Equal(0, DegreeDays.Mean(12, 4, 10));
    }

    [Fact]
    public void Unknown_in_is_unknown_out_and_nonsense_is_refused()
    {
        Assert.Equal(double.NaN, HeatIndex.Celsius(double.NaN, 50));
        Assert.Equal(double.NaN, HeatIndex.Celsius(30, double.NaN));
        Assert.Equal(double.NaN, HeatIndex.Celsius(0, double.NaN));
        Assert.Equal(double.NaN, WindChill.Celsius(double.NaN, 5));
        Assert.Equal(double.NaN, WindChill.Celsius(0, double.NaN));
        Assert.Equal(double.NaN, DegreeDays.Mean(double.NaN, 4, 10));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatIndex.Celsius(303, 50));
        Assert.Throws<ArgumentOutOfRangeException>(() => WindChill.Celsius(0, -1));
    }

    private static double Celsius(double f) => (f - 32) / 1.8;

    private static double Fahrenheit(double c) => c * 1.8 + 32;
}
