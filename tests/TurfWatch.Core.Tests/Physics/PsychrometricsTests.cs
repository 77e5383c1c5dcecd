using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;
using static TurfWatch.Core.Physics.Psychrometrics;

namespace TurfWatch.Core.Tests.Physics;

public class PsychrometricsTests
{
    // Alduchov and Eskridge (1996), recomputed by hand from the printed coefficients.
    [Theory]
    [InlineData(0, 6.1094)]
    [InlineData(10, 12.2602)]
    [InlineData(20, 23.3344)]
    [InlineData(30, 42.3665)]
    public void Saturation_pressure_follows_its_formula(double t, double hPa) =>
        Check.Near(hPa, SaturationVapourPressureHPa(t), 5e-5);

    // ASHRAE Handbook Fundamentals (2017) ch. 1 table 3 (seen second-hand, in PsychroLib's tests). The formula's own
    // error is 0.4 % at most.
    [Theory]
    [InlineData(5, 8.726)]
    [InlineData(25, 31.697)]
    [InlineData(50, 123.513)]
    public void Saturation_pressure_over_water_agrees_with_the_handbook(double t, double hPa) =>
        Check.Close(hPa, SaturationVapourPressureHPa(t), 0.004);

    [Theory]
    [InlineData(-20, 1.0324)]
    [InlineData(-5, 4.0174)]
    public void Saturation_pressure_over_ice_agrees_with_the_handbook(double t, double hPa) =>
        Check.Close(hPa, SaturationVapourPressureIceHPa(t), 0.004);

    [Fact]
    public void Saturation_pressure_agrees_with_a_reference_library_from_minus_60_to_50()
    {
        foreach (var row in ReferenceTable.Rows("saturation.csv"))
        {
            var t = row.Number("temperature_c");
            var found =
                row["over"] == "ice"
                    ? SaturationVapourPressureIceHPa(t)
                    : SaturationVapourPressureHPa(t);
            Check.Close(row.Number("saturation_hpa"), found, 0.0042);
        }
    }

    [Fact]
    public void Humid_air_agrees_with_a_reference_library()
    {
        foreach (var row in ReferenceTable.Rows("humid-air.csv"))
        {
            var (t, rh) = (row.Number("temperature_c"), row.Number("rh_percent"));
            var pressure = row.Number("pressure_hpa");
            var vapour = VapourPressureHPa(t, rh);
            Check.Close(row.Number("vapour_hpa"), vapour, 0.004);

            // Below zero the library's dew point is over ice; 0.6 % of vapour is 0.06 K.
            var dew = row.Number("dew_point_c");
            if (dew >= 0)
            {
                Assert.Equal(dew, DewPointC(vapour), 0.06);
            }
            else
            {
                Check.Close(vapour, SaturationVapourPressureIceHPa(dew), 0.006);
            }

            Check.Close(row.Number("density_kg_m3"), AirDensityKgM3(t, vapour, pressure), 2e-4);
        }
    }

    // Recomputed by hand from the formula; the 15 °C row of every formula in use is within 0.03 K.
    [Theory]
    [InlineData(20, 50, 9.261)]
    [InlineData(25, 60, 16.698)]
    [InlineData(30, 70, 23.930)]
    [InlineData(15, 90, 13.373)]
    [InlineData(10, 80, 6.708)]
    [InlineData(0, 80, -3.039)]
    public void Dew_point_of_known_air(double t, double rh, double dew) =>
        Check.Near(dew, DewPointC(VapourPressureHPa(t, rh)), 5e-4);

    // ASHRAE (2017) ch. 1 table 1, US Standard Atmosphere.
    [Theory]
    [InlineData(0, 1013.25)]
    [InlineData(500, 954.61)]
    [InlineData(1000, 898.75)]
    public void Standard_pressure_agrees_with_the_handbook(double z, double hPa) =>
        Check.Near(hPa, PressureHPa(z), 0.02);

    // FAO-56 annex 3, table 3.1 has 2.45 MJ/kg at 20 °C (2.4538 unrounded); FAO-56 table 2.2 has γ 0.0665 kPa/K at 100 kPa.
    [Fact]
    public void Latent_heat_and_psychrometric_constant_of_FAO56()
    {
        Check.Near(2.4538e6, LatentHeatJPerKg(20), 50);
        Check.Near(0.665, PsychrometricConstantHPaPerK(1000), 1e-9);
    }

    [Fact]
    public void Dew_point_undoes_saturation_pressure() =>
        Gen.Double[-60, 60]
            .Sample(t =>
            {
                Assert.Equal(t, DewPointC(SaturationVapourPressureHPa(t)), 1e-8);
            });

    [Fact]
    public void Relative_humidity_undoes_dew_point() =>
        Gen.Select(Gen.Double[-40, 50], Gen.Double[1, 100])
            .Sample(
                (t, rh) =>
                    Assert.Equal(
                        rh,
                        RelativeHumidityPercent(t, DewPointC(VapourPressureHPa(t, rh))),
                        1e-8
                    )
            );

    [Fact]
    public void Vapour_over_ice_saturates_below_vapour_over_supercooled_water() =>
        Gen.Double[-60, -0.5]
            .Sample(t =>
                Assert.True(SaturationVapourPressureIceHPa(t) < SaturationVapourPressureHPa(t))
            );

    [Fact]
    public void Humidity_beyond_its_range_is_cut_to_it()
    {
        Assert.Equal(VapourPressureHPa(20, 100), VapourPressureHPa(20, 103));
        Assert.Equal(0, VapourPressureHPa(20, -2));
        Assert.Equal(100, RelativeHumidityPercent(10, 10.4));
        Assert.True(double.IsFinite(DewPointC(0)));
    }

    [Fact]
    public void Unknown_in_is_unknown_out()
    {
        double nan = double.NaN;
        Assert.All(
            [
                SaturationVapourPressureHPa(nan),
                SaturationVapourPressureIceHPa(nan),
                VapourPressureHPa(20, nan),
                VapourPressureHPa(nan, 50),
                DewPointC(nan),
                RelativeHumidityPercent(nan, 5),
                RelativeHumidityPercent(5, nan),
                AirDensityKgM3(nan, 10, 1000),
                LatentHeatJPerKg(nan),
                PressureHPa(nan),
            ],
            value => Assert.Equal(double.NaN, value)
        );
    }

    [Fact]
    public void Kelvin_or_kilopascal_is_refused_with_the_value_and_the_range()
    {
        var kelvin = Assert.Throws<ArgumentOutOfRangeException>(() =>
            SaturationVapourPressureHPa(293.15)
        );
        Assert.Contains(
            "tempC is 293.15, outside -100 to 100",
            kelvin.Message,
            StringComparison.Ordinal
        );
        Assert.Throws<ArgumentOutOfRangeException>(() => PressureHPa(29000));
    }
}
