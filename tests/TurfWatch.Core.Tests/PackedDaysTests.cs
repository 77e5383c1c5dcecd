using CsCheck;
using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests;

public sealed class PackedDaysTests
{
    private static readonly LocalDate First = new(2006, 1, 1);

    private static readonly Gen<double> Any = Gen.OneOf(
        Gen.Const(double.NaN),
        Gen.Double[-90, 60],
        Gen.Const(0.0)
    );

    private static SiteDays Days(double[] values, LocalDate first)
    {
        var days = SiteDays.Unknown(first, values.Length);
        for (var i = 0; i < values.Length; i++)
        {
            days.Soil5CmC[i] = values[i];
            days.Soil10CmC[i] = values[i] + 1;
            days.AirMeanC[i] = values[i] - 1;
            days.AirMinC[i] = values[i] / 2;
            days.AirMaxC[i] = -values[i];
            days.RainMm[i] = Math.Abs(values[i]) * 10;
            days.Et0Mm[i] = values[i] / 9;
            days.ShortwaveMJM2[i] = values[i] / 3;
            days.HumidityPercent[i] = values[i];
            days.WetHours[i] = values[i] / 4;
            days.AvailableWater[i] = values[i] / 100;
        }

        return days;
    }

    [Fact]
    public void Days_of_a_site_survive_packing_to_half_a_step() =>
        Gen.Select(Any.Array[0, 50], Gen.Int[-20000, 20000])
            .Sample(
                (values, offset) =>
                {
                    var days = Days(values, First.PlusDays(offset));
                    var back = SiteDays.Unpack(days.Pack());
                    Assert.Equal((days.First, days.Count), (back.First, back.Count));
                    for (var i = 0; i < values.Length; i++)
                    {
                        Assert.Equal(days.Soil5CmC[i], back.Soil5CmC[i], 0.00501);
                        Assert.Equal(days.Soil10CmC[i], back.Soil10CmC[i], 0.00501);
                        Assert.Equal(days.AirMeanC[i], back.AirMeanC[i], 0.00501);
                        Assert.Equal(days.AirMinC[i], back.AirMinC[i], 0.00501);
                        Assert.Equal(days.AirMaxC[i], back.AirMaxC[i], 0.00501);
                        Assert.Equal(days.RainMm[i], back.RainMm[i], 0.02501);
                        Assert.Equal(days.Et0Mm[i], back.Et0Mm[i], 0.00501);
                        Assert.Equal(days.ShortwaveMJM2[i], back.ShortwaveMJM2[i], 0.00501);
                        Assert.Equal(days.HumidityPercent[i], back.HumidityPercent[i], 0.00501);
                        Assert.Equal(days.WetHours[i], back.WetHours[i], 0.00501);
                        Assert.Equal(days.AvailableWater[i], back.AvailableWater[i], 0.0000501);
                    }
                }
            );

    [Fact]
    public void Past_years_survive_packing_and_twenty_take_about_100_kB()
    {
        var days = MadeClimate
            .Days(2006, 2025, d => 15 + (0.01 * d.DayOfYear))
            .Select(
                (d, i) =>
                    i % 7 == 0
                        ? new ClimateDay(d.Date, double.NaN, double.NaN, double.NaN, double.NaN)
                        : d with
                        {
                            DewPointC = -3.21,
                            WindMS = 4.56,
                            ShortwaveMJM2 = 17.89,
                        }
            )
            .ToArray();
        var years = new PastYears([.. days]);
        var bytes = years.Pack();
        Assert.InRange(bytes.Length, 90_000, 110_000);
        var back = PastYears.Unpack(bytes);
        Assert.Equal((years.First, years.Last), (back.First, back.Last));
        for (var i = 0; i < days.Length; i++)
        {
            Assert.Equal(days[i].Date, back.Days[i].Date);
            Assert.Equal(days[i].MeanC, back.Days[i].MeanC, 0.00501);
            Assert.Equal(days[i].MinC, back.Days[i].MinC, 0.00501);
            Assert.Equal(days[i].MaxC, back.Days[i].MaxC, 0.00501);
            Assert.Equal(days[i].RainMm, back.Days[i].RainMm, 0.02501);
            Assert.Equal(days[i].DewPointC, back.Days[i].DewPointC, 0.00501);
            Assert.Equal(days[i].WindMS, back.Days[i].WindMS, 0.00501);
            Assert.Equal(days[i].ShortwaveMJM2, back.Days[i].ShortwaveMJM2, 0.00501);
        }
    }

    [Fact]
    public void The_heaviest_rain_of_a_day_on_record_fits()
    {
        // Waipā Garden, Kauaʻi, 14-15 April 2018: 1,262 mm in 24 h, the US record (National Climate Extremes Committee).
        var days = SiteDays.Unknown(First, 1);
        days.RainMm[0] = 1262;
        Assert.Equal(1262, SiteDays.Unpack(days.Pack()).RainMm[0], 0.03);
        days.RainMm[0] = 9e9;
        Assert.InRange(SiteDays.Unpack(days.Pack()).RainMm[0], 1600, 1700);
    }

    [Fact]
    public void Bytes_of_another_version_or_cut_short_are_refused_with_advice()
    {
        var bytes = Days([1, 2, 3], First).Pack();
        Assert.Contains(
            "compute them again",
            Assert.Throws<FormatException>(() => SiteDays.Unpack(bytes[..^1])).Message,
            StringComparison.Ordinal
        );
        bytes[0] = 99;
        Assert.Contains(
            "version 99",
            Assert.Throws<FormatException>(() => SiteDays.Unpack(bytes)).Message,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "ask for them again",
            Assert.Throws<FormatException>(() => PastYears.Unpack([])).Message,
            StringComparison.Ordinal
        );
        Assert.Throws<FormatException>(() => PastYears.Unpack([1, 0, 0, 0, 0, 255, 255, 255, 255]));
    }

    [Fact]
    public void Past_years_with_a_hole_are_not_packed()
    {
        var day = new ClimateDay(First, 1, 0, 2, 0);
        var holed = new PastYears([day, day with { Date = First.PlusDays(2) }]);
        Assert.Contains(
            "one entry for every day",
            Assert.Throws<InvalidOperationException>(holed.Pack).Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Days_are_laid_over_one_another_by_date()
    {
        var below = Days([1, 2, 3, 4], First);
        var above = Days([double.NaN, 30, 40, 50], First.PlusDays(1));

        var both = above.Over(below);

        Assert.Equal([1, 2, 30, 40, 50], both.HumidityPercent);
        Assert.Equal(First, both.First);
        Assert.Equal([2.0, 3], below.Slice(First.PlusDays(1), First.PlusDays(3)).HumidityPercent);
        Assert.Equal([4.0], below.Slice(First.PlusDays(3), First.PlusDays(30)).HumidityPercent);
        Assert.Equal(0, below.Slice(First.PlusDays(9), First.PlusDays(30)).Count);
        Assert.Same(below, below.Over(SiteDays.Unknown(First, 0)));
    }

    [Fact]
    public void Days_apart_leave_a_hole_between_them()
    {
        var both = Days([5], First.PlusDays(3)).Over(Days([1], First));
        Assert.Equal(4, both.Count);
        Assert.True(double.IsNaN(both.Soil10CmC[1]));
        Assert.Equal(6, both.Soil10CmC[3]);
    }
}
