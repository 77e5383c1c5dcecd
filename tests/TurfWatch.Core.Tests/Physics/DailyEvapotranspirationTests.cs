using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class DailyEvapotranspirationTests
{
    // Maricopa, Arizona, 33.069° N, 361 m, wind at 3 m: output of the University of Idaho's REF-ET 3.1.15, FAO-56 column,
    // second-hand from a public package's tests. The inputs are printed with few digits.
    [Theory]
    [InlineData(2, 21.9, 0.4, 12.68, 2.0, -2.5, 2.71)]
    [InlineData(7, 23.4, 13.4, 11.08, 5.8, 5.1, 5.05)]
    [InlineData(74, 19.6, 6.3, 22.06, 2.8, -8.4, 4.70)]
    [InlineData(196, 44.2, 24.9, 29.40, 2.4, 10.9, 9.39)]
    [InlineData(319, 25.8, 6.4, 14.24, 2.1, -1.9, 3.57)]
    public void Days_at_Maricopa_agree_with_REF_ET(
        int dayOfYear,
        double max,
        double min,
        double solar,
        double wind,
        double dew,
        double mm
    )
    {
        var et = ReferenceEvapotranspiration.DailyFao56Mm(
            new(
                max,
                min,
                10 * Fao56.SaturationVapourPressureKPa(dew),
                Fao56.WindAt2mMS(wind, 3),
                solar,
                33.069,
                361,
                dayOfYear
            )
        );
        Check.Near(mm, et, 0.02);
    }

    // Fallon, Nevada, 2015-07-01, same program; its 7.94 mm uses another clear-sky radiation, FAO's gives 7.997 (recomputed).
    [Fact]
    public void Day_at_Fallon_in_every_step()
    {
        var (max, min) = ((102.80 - 32) / 1.8, (66.65 - 32) / 1.8);
        var vapour = Fao56.SaturationVapourPressureKPa((49.84 - 32) / 1.8);
        var saturation =
            (Fao56.SaturationVapourPressureKPa(max) + Fao56.SaturationVapourPressureKPa(min)) / 2;
        var wind = Fao56.WindAt2mMS(4.80 * 0.44704, 3);
        var extraterrestrial = Fao56.DailyExtraterrestrialMJM2(39.4575, 182);
        Check.Close(1.2206674, vapour, 1e-6);
        Check.Close(4.6747236, saturation, 1e-6);
        // ASCE rounds 0.6108 · 4098 = 2503.06 to 2503.
        Check.Close(0.2348858, Fao56.SlopeKPaPerK((max + min) / 2), 3e-5);
        Check.Close(1.9761118, wind, 1e-4);
        Check.Close(87.8071, Fao56.PressureKPa(1208.5), 1e-6);
        Check.Close(41.64825, extraterrestrial, 1e-4);
        Check.Near(32.25, Fao56.ClearSkySolar(extraterrestrial, 1208.5), 0.02);
        var et = ReferenceEvapotranspiration.DailyFao56Mm(
            new(max, min, vapour * 10, wind, 674.07 * 0.041868, 39.4575, 1208.5, 182)
        );
        Check.Near(7.997, et, 2e-3);
    }

    [Fact]
    public void A_day_is_never_negative_and_seldom_above_20_mm() =>
        Gen.Select(
                Gen.Double[-30, 45],
                Gen.Double[0, 25],
                Gen.Double[0.1, 1],
                Gen.Double[0, 10],
                Gen.Double[0, 35],
                Gen.Int[1, 366]
            )
            .Sample(
                (min, span, humidity, wind, solar, day) =>
                {
                    var max = Math.Min(50, min + span);
                    var vapour = 10 * humidity * Fao56.SaturationVapourPressureKPa(min);
                    var et = ReferenceEvapotranspiration.DailyFao56Mm(
                        new(max, min, vapour, wind, solar, 40, 300, day)
                    );
                    Assert.InRange(et, 0, 40);
                }
            );

    [Fact]
    public void Unknown_in_is_unknown_out()
    {
        var day = new DailyEtInputs(30, 15, 12, 2, 22, 40, 300, 180);
        Assert.All(
            [
                day with
                {
                    MaxTemperatureC = double.NaN,
                },
                day with
                {
                    MinTemperatureC = double.NaN,
                },
                day with
                {
                    VapourHPa = double.NaN,
                },
                day with
                {
                    WindAt2mMS = double.NaN,
                },
                day with
                {
                    ShortwaveMJM2 = double.NaN,
                },
                day with
                {
                    ElevationM = double.NaN,
                },
            ],
            gap => Assert.Equal(double.NaN, ReferenceEvapotranspiration.DailyFao56Mm(gap))
        );
    }

    [Fact]
    public void Day_zero_is_refused() =>
        Assert.Contains(
            "dayOfYear is 0, outside 1 to 366",
            Assert
                .Throws<ArgumentOutOfRangeException>(() => Fao56.DailyExtraterrestrialMJM2(40, 0))
                .Message,
            StringComparison.Ordinal
        );

    [Fact]
    public void Polar_night_has_no_sun() =>
        Assert.Equal(0, Fao56.DailyExtraterrestrialMJM2(80, 355), 1e-9);
}
