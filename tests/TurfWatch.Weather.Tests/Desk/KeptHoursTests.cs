using System.Web;
using NodaTime;
using TurfWatch.Core;
using Xunit;

namespace TurfWatch.Weather.Tests.Desk;

/// <summary>What the cell's own stored hours save, fill and stand in for.</summary>
public sealed class KeptHoursTests
{
    [Fact]
    public async Task Kept_grid_hours_fill_the_gap_between_the_analyses_end_and_the_reports()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);
        var kept = DeskBench.Kept(
            bench.Now - Duration.FromDays(10),
            bench.Now,
            HourKind.Forecast,
            "nws",
            temperature: 14,
            issuedAt: bench.Now - Duration.FromDays(3)
        );

        var weather = await bench.FetchAsync(kept);

        var gap = bench.Now - Duration.FromDays(3);
        Assert.Equal(14, weather.TemperatureAt(gap));
        Assert.Equal(HourKind.Analysed, weather.OriginAt(gap).Kind); // it has passed
        Assert.Equal(
            DeskBench.PowerTemperature,
            weather.TemperatureAt(bench.Now - Duration.FromDays(8))
        ); // analysed over grid
        Assert.Equal(
            NwsStub.StationTemperature,
            weather.TemperatureAt(bench.Now - Duration.FromHours(2))
        ); // measured over all
        Assert.Contains(
            "US National Weather Service",
            weather.Note(DataSubject.History)!.SourceName,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "NASA",
            weather.Note(DataSubject.History)!.SourceName,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Kept_reports_stand_over_a_newer_analysis()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);
        var hour = bench.Now - Duration.FromDays(9);

        var weather = await bench.FetchAsync(
            DeskBench.Kept(hour, hour, HourKind.Measured, "nws", 6.5)
        );

        Assert.Equal(6.5, weather.TemperatureAt(hour));
        Assert.Equal(
            DeskBench.PowerTemperature,
            weather.TemperatureAt(hour + Duration.FromHours(1))
        );
    }

    [Fact]
    public async Task Only_the_missing_span_is_asked_for()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);
        var kept = DeskBench.Kept(
            bench.Now - Duration.FromDays(75),
            bench.Now - Duration.FromDays(5),
            HourKind.Analysed,
            "nasa-power",
            11
        );

        var weather = await bench.FetchAsync(kept);

        Assert.Equal(["20260301"], PowerStarts(bench)); // 75 days are history enough
        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.History)!.Standing);
        Assert.Equal(11, weather.TemperatureAt(bench.Now - Duration.FromDays(40)));
    }

    [Theory]
    [InlineData(null, 24)]
    [InlineData(3, 72)]
    [InlineData(20, 168)]
    public void Reports_that_were_lost_are_read_again_as_far_back_as_stations_keep_them(
        int? daysAgo,
        int hoursBack
    )
    {
        var now = Instant.FromUtc(2026, 3, 20, 12, 0);
        var kept = DeskBench.Kept(
            now - Duration.FromDays(75),
            now,
            HourKind.Measured,
            "nws",
            temperature: 11
        );

        var from = KeptHours.ObservationsFrom(
            kept,
            now,
            daysAgo is { } days ? now - Duration.FromDays(days) : null
        );

        Assert.Equal(now - Duration.FromHours(hoursBack), from);
    }

    [Fact]
    public async Task A_young_record_is_completed_to_the_wanted_days()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);

        await bench.FetchAsync(
            DeskBench.Kept(
                bench.Now - Duration.FromDays(20),
                bench.Now,
                HourKind.Analysed,
                "nasa-power",
                11
            )
        );

        Assert.Equal(["20251201", "20260101", "20260201", "20260301"], PowerStarts(bench));
    }

    [Fact]
    public async Task Hours_whose_radiation_is_still_to_come_are_asked_for_again()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);
        var start = bench.Now - Duration.FromDays(75);
        var full = DeskBench.Kept(start, bench.Now, HourKind.Analysed, "nasa-power", 11);

        await bench.FetchAsync(full);
        Assert.Empty(PowerStarts(bench)); // nothing lacks

        var builder = new WeatherSeriesBuilder(start, full.Count);
        builder.Lay(full);
        builder[WeatherColumn.ShortwaveWM2][full.Count - 5 * 24] = double.NaN;
        await bench.FetchAsync(builder.Build());
        Assert.Equal(["20260301"], PowerStarts(bench));
    }

    [Fact]
    public async Task When_all_is_down_the_kept_forecast_stands_in_marked_as_old()
    {
        await using var bench = new SourceBench();
        bench.Answer("/*", SourceBench.Error(500, "<html></html>", "text/html"));
        var issued = bench.Now - Duration.FromHours(20);
        var kept = DeskBench.Kept(
            bench.Now - Duration.FromDays(70),
            bench.Now + Duration.FromDays(3),
            HourKind.Forecast,
            "nws",
            13,
            issued
        );

        var withoutRadiation = new WeatherSeriesBuilder(kept.FirstHourEnd, kept.Count);
        withoutRadiation.Lay(kept);
        withoutRadiation[WeatherColumn.ShortwaveWM2].Fill(double.NaN); // the grid has none

        var weather = await bench.FetchAsync(withoutRadiation.Build());

        var forecast = weather.Note(DataSubject.Forecast)!;
        Assert.Equal(DataStanding.Stale, forecast.Standing);
        Assert.Equal(issued, forecast.DataTime);
        Assert.Equal("US National Weather Service", forecast.SourceName);
        Assert.Contains("could not be reached", forecast.Reason, StringComparison.Ordinal);
        Assert.Equal(13, weather.TemperatureAt(bench.Now + Duration.FromHours(12)));
        Assert.Equal(HourKind.Forecast, weather.OriginAt(bench.Now + Duration.FromHours(12)).Kind);

        var history = weather.Note(DataSubject.History)!;
        Assert.Equal(DataStanding.Stale, history.Standing);
        Assert.Contains("70 of the last 92 days", history.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_kept_forecast_beyond_its_limit_is_not_used()
    {
        await using var bench = new SourceBench();
        bench.Answer("/*", SourceBench.Error(500, "<html></html>", "text/html"));
        var kept = DeskBench.Kept(
            bench.Now,
            bench.Now + Duration.FromDays(3),
            HourKind.Forecast,
            "nws",
            13,
            bench.Now - Duration.FromHours(37)
        );

        var weather = await bench.FetchAsync(kept);

        Assert.Equal(DataStanding.Missing, weather.Note(DataSubject.Forecast)!.Standing);
        Assert.Equal(bench.Now, weather.Hours.LastHourEnd);
    }

    [Fact]
    public async Task Kept_forecast_hours_do_not_show_through_a_newer_forecast()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);
        var kept = DeskBench.Kept(
            bench.Now,
            bench.Now + Duration.FromDays(9),
            HourKind.Forecast,
            "nws",
            2,
            bench.Now - Duration.FromHours(7)
        );

        var weather = await bench.FetchAsync(kept);

        var coming = weather.Hours.IndexOf(bench.Now + Duration.FromHours(5));
        Assert.Equal(
            NwsStub.GridTemperature,
            weather.Hours[WeatherColumn.AirTemperatureC][coming],
            1e-9
        );
        // The grid gave no rain: unknown stays unknown, the older forecast's figure is not borrowed.
        Assert.True(double.IsNaN(weather.Hours[WeatherColumn.PrecipitationMm][coming]));
        Assert.Equal(bench.Now + Duration.FromDays(5), weather.Hours.LastHourEnd);
    }

    private static IEnumerable<string?> PowerStarts(SourceBench bench) =>
        bench
            .Asked.Where(u => u.AbsolutePath.StartsWith("/api/", StringComparison.Ordinal))
            .Select(u => HttpUtility.ParseQueryString(u.Query)["start"]);
}
