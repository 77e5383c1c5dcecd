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
                (t, any) =>
                {
                    // Dew points above 35 °C are not known on earth (WMO: the highest measured are 34 to 35 °C, from memory).
                    var rh = Math.Min(any, 99 * Saturation(35) / Saturation(Math.Max(t, 35)));
                    var index = HeatIndex.Celsius(t, rh);
                    Assert.InRange(index, t - 6, t + 50);
                    if (t > 28 && rh > 42)
                    {
                        Assert.True(HeatIndex.Celsius(t, rh + 1) > index);
                    }
                }
            );

    [Fact]
    public void Unknown_in_is_unknown_out_and_nonsense_is_refused()
    {
        Assert.Equal(double.NaN, HeatIndex.Celsius(double.NaN, 50));
        Assert.Equal(double.NaN, HeatIndex.Celsius(30, double.NaN));
        Assert.Equal(double.NaN, HeatIndex.Celsius(0, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatIndex.Celsius(303, 50));
    }

    // Tetens, good to a percent here.
    private static double Saturation(double t) => Math.Exp(17.27 * t / (t + 237.3));

    private static double Celsius(double f) => (f - 32) / 1.8;

    private static double Fahrenheit(double c) => c * 1.8 + 32;
}
