using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;
using static TurfWatch.Core.Physics.Radiation;

namespace TurfWatch.Core.Tests.Physics;

public class RadiationTests
{
    // Kopp and Lean (2011): 1361 W/m² at the mean distance; the earth is nearest in early January (factor 1.034).
    [Fact]
    public void Radiation_above_the_air_is_the_solar_constant_times_the_sine_of_elevation()
    {
        Check.Near(1361, ExtraterrestrialWM2(1, 1), 1e-9);
        Check.Near(1361 * 1.034 / 2, ExtraterrestrialWM2(0.5, 1.034), 1e-9);
        Assert.Equal(0, ExtraterrestrialWM2(-0.2, 1));
    }

    // ASCE (2005) eqs. D.1–D.5 by hand: P 100 kPa, e 1 kPa, sin β 0.5 gives W 16.1 mm, K_b 0.98 exp(−0.292 − 0.075·32.2^0.4)
    // = 0.5413, K_d 0.35 − 0.36·0.5413 = 0.1551.
    [Fact]
    public void Cloudless_radiation_follows_its_equations() =>
        Check.Near(0.6964 * 680.5, ClearSkyShortwaveWM2(0.5, 1, 10, 1000), 0.3);

    // FAO-56 eq. 37 gives three quarters at sea level for a whole day; at a low noon or in moist air it is less.
    [Fact]
    public void Cloudless_radiation_is_near_three_quarters_with_the_sun_high()
    {
        var share = ClearSkyShortwaveWM2(0.85, 1, 12, 1010) / ExtraterrestrialWM2(0.85, 1);
        Assert.InRange(share, 0.72, 0.79);
    }

    // Kasten and Czeplak (1980): a quarter passes an overcast; half-covered sky 1 − 0.75·0.5^3.4 = 0.9290.
    [Theory]
    [InlineData(0, 800)]
    [InlineData(50, 743.2)]
    [InlineData(100, 200)]
    public void Cloud_takes_its_share(double cover, double expected) =>
        Check.Near(expected, CloudyShortwaveWM2(800, cover), 0.1);

    // Prata (1996) by hand: 20 °C, 11.667 hPa gives w 1.8506, ε 1 − 2.8506 exp(−√6.7519) = 0.7879, σT⁴ 418.74.
    [Fact]
    public void Cloudless_longwave_follows_its_equation() =>
        Check.Near(0.7879 * 418.74, ClearSkyLongwaveDownWM2(20, 11.667), 0.1);

    // Brutsaert (1975), Water Resour. Res. 11:742: ε = 1.24 (e/T)^(1/7). Another derivation; the two part in cold air,
    // where Prata is known to stay higher.
    [Theory]
    [InlineData(0, 4.5)]
    [InlineData(10, 9)]
    [InlineData(20, 15)]
    [InlineData(30, 25)]
    public void Cloudless_longwave_agrees_with_another_formula(double t, double vapour)
    {
        var kelvin = t + 273.15;
        var black = 5.670374e-8 * Math.Pow(kelvin, 4);
        var brutsaert = 1.24 * Math.Pow(vapour / kelvin, 1 / 7.0) * black;
        Check.Close(brutsaert, ClearSkyLongwaveDownWM2(t, vapour), t < 5 ? 0.06 : 0.04);
    }

    [Fact]
    public void Overcast_sky_radiates_97_percent_of_a_black_body_and_a_clear_one_less()
    {
        Check.Near(0.97 * 418.74, LongwaveDownWM2(20, 11.667, 1), 0.05);
        Assert.Equal(ClearSkyLongwaveDownWM2(20, 11.667), LongwaveDownWM2(20, 11.667, 0));
    }

    [Fact]
    public void Longwave_grows_with_cloud_and_vapour_and_stays_below_a_black_body() =>
        Gen.Select(Gen.Double[-40, 45], Gen.Double[0.01, 1], Gen.Double[0, 0.98])
            .Sample(
                (t, humidity, cloud) =>
                {
                    var saturated = Psychrometrics.SaturationVapourPressureHPa(t);
                    var e = humidity * saturated;
                    var sky = LongwaveDownWM2(t, e, cloud);
                    Assert.InRange(sky, 0.5 * BlackBody(t), BlackBody(t));
                    Assert.True(LongwaveDownWM2(t, e, cloud + 0.02) >= sky - 1e-9);
                    Assert.True(
                        ClearSkyLongwaveDownWM2(t, e + 0.1) > ClearSkyLongwaveDownWM2(t, e)
                    );
                }
            );

    [Fact]
    public void Clear_sky_stays_between_nothing_and_the_top_of_the_air_and_falls_with_vapour() =>
        Gen.Select(Gen.Double[-1, 1], Gen.Double[0, 40], Gen.Double[600, 1050])
            .Sample(
                (cosZenith, e, p) =>
                {
                    var clear = ClearSkyShortwaveWM2(cosZenith, 1, e, p);
                    Assert.InRange(clear, 0, ExtraterrestrialWM2(cosZenith, 1));
                    Assert.True(ClearSkyShortwaveWM2(cosZenith, 1, e + 5, p) <= clear);
                }
            );

    [Fact]
    public void Cloud_from_radiation_undoes_radiation_from_cloud() =>
        Gen.Select(Gen.Double[30, 1100], Gen.Double[0, 100])
            .Sample(
                (clear, cover) =>
                    Assert.Equal(
                        cover / 100,
                        CloudFractionFromShortwave(CloudyShortwaveWM2(clear, cover), clear),
                        1e-4
                    )
            );

    [Fact]
    public void Cloud_is_unknown_with_the_sun_low_and_cut_to_its_range_otherwise()
    {
        Assert.Equal(double.NaN, CloudFractionFromShortwave(10, 29));
        Assert.Equal(0, CloudFractionFromShortwave(560, 500));
        Assert.Equal(1, CloudFractionFromShortwave(5, 500));
    }

    [Fact]
    public void Unknown_in_is_unknown_out() =>
        Assert.All(
            [
                ExtraterrestrialWM2(double.NaN, 1),
                ClearSkyShortwaveWM2(double.NaN, 1, 10, 1000),
                ClearSkyShortwaveWM2(0.5, 1, double.NaN, 1000),
                CloudyShortwaveWM2(500, double.NaN),
                CloudyShortwaveWM2(double.NaN, 50),
                CloudFractionFromShortwave(double.NaN, 500),
                CloudFractionFromShortwave(300, double.NaN),
                ClearSkyLongwaveDownWM2(double.NaN, 10),
                ClearSkyLongwaveDownWM2(10, double.NaN),
                LongwaveDownWM2(10, 8, double.NaN),
            ],
            value => Assert.Equal(double.NaN, value)
        );

    private static double BlackBody(double t) => 5.670374e-8 * Math.Pow(t + 273.15, 4);
}
