using NodaTime;
using TurfWatch.Core;
using Xunit;

namespace TurfWatch.Weather.Tests.Desk;

public sealed class WeatherDeskTests
{
    private static readonly DataSubject[] Always =
    [
        DataSubject.Forecast,
        DataSubject.Observations,
        DataSubject.History,
        DataSubject.Hazards,
    ];

    [Fact]
    public async Task With_all_sources_up_each_hour_has_the_best_origin()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);

        var weather = await bench.FetchAsync();

        var now = bench.Now;
        Assert.Equal(Always, weather.Notes.Select(n => n.Subject));
        Assert.All(weather.Notes, n => Assert.Equal(DataStanding.Fresh, n.Standing));
        Assert.Equal(now - Duration.FromDays(92), weather.Hours.FirstHourEnd);

        var coming = now + Duration.FromHours(10);
        Assert.Equal(NwsStub.GridTemperature, weather.TemperatureAt(coming), 1e-9);
        Assert.Equal(HourKind.Forecast, weather.OriginAt(coming).Kind);

        var lately = now - Duration.FromHours(3); // the grid has this hour too
        Assert.Equal(NwsStub.StationTemperature, weather.TemperatureAt(lately), 1e-9);
        Assert.Equal(HourKind.Measured, weather.OriginAt(lately).Kind);
        Assert.Equal(
            30,
            weather.Hours[WeatherColumn.CloudCoverPercent][weather.Hours.IndexOf(lately)]
        ); // the station does not tell, the grid shows through

        var weeksAgo = now - Duration.FromDays(20);
        Assert.Equal(DeskBench.PowerTemperature, weather.TemperatureAt(weeksAgo), 1e-9);
        Assert.Equal("nasa-power", weather.OriginAt(weeksAgo).Source);

        // Between POWER's end and the reports there is nothing, and nothing is made up.
        Assert.True(double.IsNaN(weather.TemperatureAt(now - Duration.FromDays(3))));
        Assert.Equal("Freeze Warning", Assert.Single(weather.Hazards).Event);
    }

    [Fact]
    public async Task With_all_sources_down_there_are_no_hours_and_four_notes_that_say_why()
    {
        await using var bench = new SourceBench(DeskBench.WithOpenMeteo);
        bench.Answer("/*", SourceBench.Error(500, "<html></html>", "text/html"));

        var weather = await bench.FetchAsync();

        Assert.Equal(Always, weather.Notes.Select(n => n.Subject));
        Assert.All(
            weather.Notes,
            n =>
            {
                Assert.Equal(DataStanding.Missing, n.Standing);
                Assert.Null(n.DataTime);
                Assert.Contains("could not be reached", n.Reason, StringComparison.Ordinal);
            }
        );
        Assert.Empty(weather.Hazards);
        Assert.All(weather.Hours.Origins.ToArray(), o => Assert.Equal(HourKind.Missing, o.Kind));
        Assert.Equal(bench.Now, weather.Hours.LastHourEnd);
    }

    [Fact]
    public async Task With_NWS_alone_the_forecast_is_whole_and_history_is_missing()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        bench.Answer("/api/*", SourceBench.Error(500, "<html></html>", "text/html"));

        var weather = await bench.FetchAsync();

        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.Forecast)!.Standing);
        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.Observations)!.Standing);
        Assert.Equal(DataStanding.Missing, weather.Note(DataSubject.History)!.Standing);
        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.Hazards)!.Standing);
        Assert.Equal(
            NwsStub.GridTemperature,
            weather.TemperatureAt(bench.Now + Duration.FromHours(5)),
            1e-9
        );
    }

    [Fact]
    public async Task When_NWS_fails_Open_Meteo_gives_the_forecast_and_is_credited()
    {
        await using var bench = new SourceBench(DeskBench.WithOpenMeteo);
        NwsStub.Grid(bench, "EWX/120,52", NwsStub.Problem(503, "UnavailableWebService"));
        DeskBench.PowerAnswers(bench);
        DeskBench.OpenMeteoAnswers(bench);

        var weather = await bench.FetchAsync();

        var note = weather.Note(DataSubject.Forecast)!;
        Assert.Equal("Weather data by Open-Meteo.com", note.SourceName);
        Assert.Equal(DataStanding.Fresh, note.Standing);
        Assert.Equal(
            DeskBench.OpenMeteoTemperature,
            weather.TemperatureAt(bench.Now + Duration.FromHours(5)),
            1e-9
        );
        Assert.Equal("open-meteo", weather.OriginAt(bench.Now + Duration.FromHours(5)).Source);
        Assert.Equal(DataStanding.Missing, weather.Note(DataSubject.Hazards)!.Standing);
    }

    [Fact]
    public async Task When_POWER_fails_Open_Meteo_gives_the_history()
    {
        await using var bench = new SourceBench(DeskBench.WithOpenMeteo);
        NwsStub.AnswersAll(bench);
        bench.Answer("/api/*", SourceBench.Error(500, "<html></html>", "text/html"));
        DeskBench.OpenMeteoAnswers(bench);

        var weather = await bench.FetchAsync();

        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.History)!.Standing);
        Assert.Contains(
            "Open-Meteo.com",
            weather.Note(DataSubject.History)!.SourceName,
            StringComparison.Ordinal
        );
        Assert.Equal(
            DeskBench.OpenMeteoTemperature,
            weather.TemperatureAt(bench.Now - Duration.FromDays(30)),
            1e-9
        );
    }

    [Fact]
    public async Task Hazards_that_cannot_be_had_are_missing_and_not_none()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        bench.Server.Reset();
        NwsStub.Grid(bench, "EWX/120,52");
        NwsStub.Alerts(bench, NwsStub.Problem(400, "BadRequest"));

        var weather = await bench.FetchAsync();

        Assert.Empty(weather.Hazards);
        var note = weather.Note(DataSubject.Hazards)!;
        Assert.Equal(DataStanding.Missing, note.Standing);
        Assert.Contains("did not accept", note.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task With_everything_switched_off_the_notes_say_so()
    {
        await using var bench = new SourceBench(o =>
        {
            o.Nws.Enabled = false;
            o.NasaPower.Enabled = false;
        });

        var weather = await bench.FetchAsync();

        Assert.Equal(Always, weather.Notes.Select(n => n.Subject));
        Assert.All(weather.Notes, n => Assert.Matches("^No .* is switched on\\.$", n.Reason));
        Assert.Empty(bench.Asked);
    }

    [Fact]
    public async Task A_hundred_callers_at_once_cost_one_request_of_each_kind()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);

        await Task.WhenAll(Enumerable.Range(0, 100).Select(_ => bench.FetchAsync()));
        await bench.FetchAsync();

        Assert.Equal(bench.Asked.Count, bench.Asked.Select(u => u.AbsoluteUri).Distinct().Count());
        Assert.Equal(1 + 1 + 1 + 4, bench.Asked.Count); // grid, reports, warnings, four months
    }

    [Fact]
    public async Task One_caller_who_gives_up_does_not_end_the_others_fetch()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);
        using var impatient = new CancellationTokenSource();

        var first = bench
            .Get<WeatherDesk>()
            .FetchAsync(DeskBench.Cell, WeatherSeries.Empty, impatient.Token);
        var second = bench.FetchAsync();
        await impatient.CancelAsync();

        Assert.Equal(DataStanding.Fresh, (await second).Note(DataSubject.Forecast)!.Standing);
        await Record.ExceptionAsync(() => first); // either done in time or cancelled
    }
}
