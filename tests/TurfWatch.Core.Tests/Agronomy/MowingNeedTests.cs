using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class MowingNeedTests
{
    // At 20 °C, watered and lit, tall fescue makes 0.6 cm a day; from 3 in to 4.5 in is 3.81 cm: 6.35 days from the noon of
    // 12 May, and 4.7 and 9.8 at a rate 35 % higher and lower. Dates are those whose noon finds it due.
    [Fact]
    public void Due_dates_straddle_the_day_that_the_growth_rate_gives()
    {
        var need = Steady().Mowed(1).Build().Need;
        Assert.Equal(new LocalDate(2026, 5, 17), need.DueEarliest);
        Assert.Equal(new LocalDate(2026, 5, 19), need.Due);
        Assert.Equal(new LocalDate(2026, 5, 22), need.DueLatest);
    }

    [Fact]
    public void Height_grows_from_the_height_of_the_last_cut()
    {
        var usual = Steady().Mowed(4).Build().Need;
        var higher = Steady().Mowed(4, 9).Build().Need;
        Assert.Equal(9 - 7.62, higher.HeightCm - usual.HeightCm, 6);
        Assert.Equal(7.62 + (0.6 * (4 - (5.5 / 24))), usual.HeightCm, 0.03);
    }

    [Fact]
    public void Without_a_mowing_in_the_journal_nothing_is_made_up()
    {
        var need = Steady().Build().Need;
        Assert.Null(need.LastMowed);
        Assert.True(double.IsNaN(need.HeightCm));
        Assert.Null(need.DueEarliest);
        Assert.Null(need.Due);
        Assert.Equal(1.5 * 7.62, need.DueHeightCm, 9);
    }

    [Fact]
    public void Weather_older_than_the_series_widens_the_doubt()
    {
        var known = Steady().Mowed(9).Build().Need;
        var older = Steady().Mowed(20).Build().Need;
        Assert.True(older.HeightErrorCm / older.HeightCm > known.HeightErrorCm / known.HeightCm);
    }

    [Fact]
    public void Frozen_growth_has_no_due_date()
    {
        var maker = Steady().Mowed(3);
        maker[WeatherColumn.AirTemperatureC].Fill(-10);
        Assert.Null(maker.Build().Need.DueEarliest);
    }

    private static MorningMaker Steady()
    {
        var maker = new MorningMaker();
        maker[WeatherColumn.AirTemperatureC].Fill(20);
        Array.Fill(maker.Shortwave, 200);
        return maker;
    }
}
