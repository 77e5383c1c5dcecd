using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>
/// The worked examples printed in FAO-56 (Allen et al. 1998), each intermediate with the precision of the print or of an
/// unrounded recomputation. Seen second-hand, in the tests of several public libraries, and recomputed.
/// </summary>
public class Fao56Tests
{
    [Fact]
    public void Example_2_pressure_at_1800_m()
    {
        var pressure = Fao56.PressureKPa(1800);
        Check.Near(81.756, pressure, 5e-4);
        Check.Near(0.05437, Fao56.PsychrometricConstantKPaPerK(pressure), 5e-6);
    }

    [Theory]
    [InlineData(24.5, 3.0746)]
    [InlineData(15, 1.7053)]
    [InlineData(19.75, 2.302)]
    public void Example_3_saturation_pressure(double t, double kPa) =>
        Check.Near(kPa, Fao56.SaturationVapourPressureKPa(t), 5e-4);

    [Fact]
    public void Example_4_vapour_pressure_from_a_ventilated_psychrometer()
    {
        var pressure = Fao56.PressureKPa(1200);
        var wet = Fao56.SaturationVapourPressureKPa(19.5);
        Check.Near(87.897, pressure, 5e-4);
        Check.Near(2.267, wet, 5e-4);
        Check.Near(1.9119, wet - 0.000662 * pressure * (25.6 - 19.5), 5e-4);
    }

    [Fact]
    public void Examples_5_and_6_vapour_pressure_from_humidity()
    {
        var low = Fao56.SaturationVapourPressureKPa(18);
        var high = Fao56.SaturationVapourPressureKPa(25);
        var vapour = (low * 0.82 + high * 0.54) / 2;
        Check.Near(1.7015, vapour, 1e-3);
        Check.Near(1.7788, 0.68 * (low + high) / 2, 1e-3);
        Check.Near(1.6925, low * 0.82, 1e-3);
        Check.Near(0.9143, (low + high) / 2 - vapour, 1e-3);
    }

    [Fact]
    public void Examples_8_and_9_sun_of_3_September_at_20_south()
    {
        Check.Near(0.98483, Fao56.InverseRelativeDistance(246), 1e-5);
        Check.Near(0.11966, Fao56.DeclinationRad(246), 1e-5);
        Check.Near(1.52702, Fao56.SunsetHourAngleRad(-20, 246), 1e-5);
        Check.Near(32.194, Fao56.DailyExtraterrestrialMJM2(-20, 246), 2e-3);
        Check.Near(11.666, Fao56.DaylightHours(-20, 246), 1e-3);
    }

    [Fact]
    public void Example_10_sun_and_daylight_at_Rio_de_Janeiro()
    {
        var extraterrestrial = Fao56.DailyExtraterrestrialMJM2(-22.9, 135);
        var daylight = Fao56.DaylightHours(-22.9, 135);
        Check.Near(25.111, extraterrestrial, 2e-3);
        Check.Near(10.895, daylight, 1e-3);
    }

    [Fact]
    public void Examples_11_and_12_net_radiation_at_Rio_de_Janeiro()
    {
        var longwave = Fao56.DailyNetLongwaveMJM2(25.1, 19.1, 2.1, 14.5 / 18.8);
        Check.Near(3.534, longwave, 2e-3);
        Check.Near(11.165, Fao56.NetShortwave(14.5), 1e-3);
        Check.Near(7.63, Fao56.NetShortwave(14.5) - longwave, 5e-3);
    }

    [Fact]
    public void Example_14_wind_brought_to_2_m()
    {
        Check.Near(2.3934, Fao56.WindAt2mMS(3.2, 10), 1e-4);
        Check.Near(0.7480, Fao56.WindAt2mMS(1, 10), 1e-4);
    }

    [Fact]
    public void Example_15_sun_at_Lyon() =>
        Check.Near(40.555, Fao56.DailyExtraterrestrialMJM2(45.72, 196), 2e-3);

    [Fact]
    public void Example_17_monthly_evapotranspiration_at_Bangkok()
    {
        const double Latitude = 13 + 44 / 60.0;
        const int MiddleOfApril = 105;
        var extraterrestrial = Fao56.DailyExtraterrestrialMJM2(Latitude, MiddleOfApril);
        var clear = Fao56.ClearSkySolar(extraterrestrial, 2);
        var longwave = Fao56.DailyNetLongwaveMJM2(34.8, 25.6, 2.85, 22.65 / clear);
        Check.Near(0.246, Fao56.SlopeKPaPerK((34.8 + 25.6) / 2), 5e-4);
        Check.Near(0.0674, Fao56.PsychrometricConstantKPaPerK(Fao56.PressureKPa(2)), 6e-5);
        Check.Near(38.06, extraterrestrial, 0.01);
        Check.Near(28.54, clear, 0.01);
        Check.Near(3.11, longwave, 0.01);
        Check.Near(14.33, Fao56.NetShortwave(22.65) - longwave, 0.01);
        var et = ReferenceEvapotranspiration.DailyFao56Mm(
            new(34.8, 25.6, 28.5, 2, 22.65, Latitude, 2, MiddleOfApril, 0.14)
        );
        Check.Near(5.716, et, 2e-3);
    }

    [Fact]
    public void Example_18_daily_evapotranspiration_at_Brussels()
    {
        const double Latitude = 50 + 48 / 60.0;
        var low = Fao56.SaturationVapourPressureKPa(12.3);
        var high = Fao56.SaturationVapourPressureKPa(21.5);
        var vapour = (low * 0.84 + high * 0.63) / 2;
        var wind = Fao56.WindAt2mMS(10 / 3.6, 10);
        var extraterrestrial = Fao56.DailyExtraterrestrialMJM2(Latitude, 187);
        var daylight = Fao56.DaylightHours(Latitude, 187);
        var solar = (0.25 + 0.50 * 9.25 / daylight) * extraterrestrial; // eq. 35
        var clear = Fao56.ClearSkySolar(extraterrestrial, 100);
        var longwave = Fao56.DailyNetLongwaveMJM2(21.5, 12.3, vapour, solar / clear);
        Check.Near(2.078, wind, 1e-3);
        Check.Near(0.122, Fao56.SlopeKPaPerK(16.9), 5e-4);
        Check.Near(0.0666, Fao56.PsychrometricConstantKPaPerK(Fao56.PressureKPa(100)), 5e-5);
        Check.Near(1.409, vapour, 1e-3);
        Check.Near(1.997, (low + high) / 2, 1e-3);
        Check.Near(41.09, extraterrestrial, 0.01);
        Check.Near(30.90, clear, 0.01);
        Check.Near(22.07, solar, 0.01);
        Check.Near(3.71, longwave, 0.01);
        Check.Near(13.28, Fao56.NetShortwave(solar) - longwave, 0.01);
        var et = ReferenceEvapotranspiration.DailyFao56Mm(
            new(21.5, 12.3, vapour * 10, wind, solar, Latitude, 100, 187)
        );
        Check.Near(3.880, et, 2e-3);
    }

    [Fact]
    public void Example_20_evapotranspiration_from_temperatures_at_Lyon()
    {
        var vapour = Fao56.SaturationVapourPressureKPa(14.8);
        var extraterrestrial = Fao56.DailyExtraterrestrialMJM2(45.72, 196);
        var solar = 0.16 * Math.Sqrt(26.6 - 14.8) * extraterrestrial; // eq. 50
        Check.Near(1.68, vapour, 5e-3);
        Check.Near(22.29, solar, 5e-3);
        var et = ReferenceEvapotranspiration.DailyFao56Mm(
            new(26.6, 14.8, vapour * 10, 2, solar, 45.72, 200, 196)
        );
        Check.Near(4.560, et, 2e-3);
    }

    // Greeley, Colorado, of ASCE (2005) appendix C, second-hand from pyet's tests; the temperatures there are rounded, so
    // the slopes agree to a quarter of a percent only.
    [Fact]
    public void Pressure_and_slopes_at_Greeley()
    {
        var pressure = Fao56.PressureKPa(1462.4);
        Check.Near(85.17, pressure, 5e-3);
        Check.Near(0.0566, Fao56.PsychrometricConstantKPaPerK(pressure), 5e-5);
        Check.Close(0.1585, Fao56.SlopeKPaPerK(21.65), 0.0025);
        Check.Close(0.1692, Fao56.SlopeKPaPerK(22.9), 0.0025);
        Check.Close(0.1762, Fao56.SlopeKPaPerK(23.7), 0.0025);
        Check.Close(0.2027, Fao56.SlopeKPaPerK(26.4), 0.0025);
    }
}
