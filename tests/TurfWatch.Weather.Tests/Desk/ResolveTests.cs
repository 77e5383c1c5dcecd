using NodaTime;
using TurfWatch.Core;
using Xunit;

namespace TurfWatch.Weather.Tests.Desk;

public sealed class ResolveTests
{
    private static readonly Place SanAntonio = new(
        "78205",
        "San Antonio",
        "TX",
        29.42,
        -98.49,
        "America/Chicago"
    );

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_new_place_gets_its_grid_cell_and_a_known_one_is_not_asked_about()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        var desk = bench.Get<WeatherDesk>();

        var cell = await desk.ResolveAsync(SanAntonio, null, Ct);
        var asked = bench.Asked.Count;
        var again = await desk.ResolveAsync(SanAntonio, cell, Ct);

        Assert.Equal("nws:EWX/120,52", cell.Id);
        Assert.Equal(["KAAA"], cell.StationIds);
        Assert.Same(cell, again);
        Assert.Equal(asked, bench.Asked.Count);
    }

    [Fact]
    public async Task An_old_cell_is_looked_up_again()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        NwsStub.Point(bench, "EWX/121,52");
        NwsStub.Grid(bench, "EWX/121,52");
        NwsStub.Stations(bench, "EWX/121,52");

        var cell = await bench
            .Get<WeatherDesk>()
            .ResolveAsync(
                SanAntonio,
                DeskBench.Cell with
                {
                    ResolvedAt = bench.Now - Duration.FromDays(8),
                },
                Ct
            );

        Assert.Equal("nws:EWX/121,52", cell.Id);
    }

    [Fact]
    public async Task Outside_every_grid_the_place_itself_is_the_cell()
    {
        await using var bench = new SourceBench();
        bench.Answer("/points/*", NwsStub.Problem(404, "InvalidPoint"));

        var cell = await bench.Get<WeatherDesk>().ResolveAsync(SanAntonio, null, Ct);

        Assert.Equal("at:29.42,-98.49", cell.Id);
        Assert.Null(cell.GridId);
        Assert.False(bench.Get<WeatherDesk>().IsDue(cell));
    }

    [Fact]
    public async Task While_NWS_cannot_be_reached_a_known_cell_stays_and_a_new_place_is_tried_again_within_the_hour()
    {
        await using var bench = new SourceBench();
        bench.Answer("/points/*", NwsStub.Problem(500, "UnexpectedProblem"));
        var desk = bench.Get<WeatherDesk>();
        var old = DeskBench.Cell with { ResolvedAt = bench.Now - Duration.FromDays(8) };

        Assert.Same(old, await desk.ResolveAsync(SanAntonio, old, Ct));
        var cell = await desk.ResolveAsync(SanAntonio, null, Ct);

        Assert.StartsWith("at:", cell.Id, StringComparison.Ordinal);
        Assert.True(desk.IsDue(cell));
    }

    [Fact]
    public async Task A_new_place_is_due_at_once_also_where_cells_are_kept_for_hours_only()
    {
        await using var bench = new SourceBench(o => o.Nws.CellKept = TimeSpan.FromHours(1));
        bench.Answer("/points/*", NwsStub.Problem(500, "UnexpectedProblem"));
        var desk = bench.Get<WeatherDesk>();

        Assert.True(desk.IsDue(await desk.ResolveAsync(SanAntonio, null, Ct)));
    }

    [Fact]
    public async Task With_NWS_switched_off_the_place_itself_is_the_cell()
    {
        await using var bench = new SourceBench(o => o.Nws.Enabled = false);

        var cell = await bench.Get<WeatherDesk>().ResolveAsync(SanAntonio, null, Ct);

        Assert.Equal("at:29.42,-98.49", cell.Id);
        Assert.Empty(bench.Asked);
    }

    [Fact]
    public async Task A_cell_that_is_gone_is_found_again_within_the_fetch_and_is_due_for_each_of_its_ZIP_codes()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        DeskBench.PowerAnswers(bench);
        NwsStub.Grid(bench, "EWX/120,52", NwsStub.Problem(404, "MarineForecastNotSupported"));
        NwsStub.Point(bench, "EWX/121,52");
        NwsStub.Grid(bench, "EWX/121,52");
        NwsStub.Stations(bench, "EWX/121,52");
        var desk = bench.Get<WeatherDesk>();

        var weather = await bench.FetchAsync();

        Assert.Equal(DataStanding.Fresh, weather.Note(DataSubject.Forecast)!.Standing);
        var known = DeskBench.Cell with { ResolvedAt = bench.Now };
        Assert.True(desk.IsDue(known));
        foreach (var zip in (string[])["78205", "78204"])
        {
            var place = SanAntonio with { Zip = zip };
            Assert.Equal("nws:EWX/121,52", (await desk.ResolveAsync(place, known, Ct)).Id);
        }
    }

    [Fact]
    public async Task A_place_whose_grid_nobody_could_be_asked_about_is_not_called_uncovered()
    {
        await using var bench = new SourceBench();
        bench.Answer("/points/*", NwsStub.Problem(500, "UnexpectedProblem"));
        var cell = await bench.Get<WeatherDesk>().ResolveAsync(SanAntonio, null, Ct);

        var weather = await bench.FetchAsync(cell: cell);

        foreach (var subject in new[] { DataSubject.Forecast, DataSubject.Observations })
        {
            Assert.Equal(
                "US National Weather Service could not be reached.",
                weather.Note(subject)!.Reason
            );
        }
    }

    [Fact]
    public async Task A_place_outside_every_grid_is_called_uncovered_also_when_it_was_out_of_reach_before()
    {
        await using var bench = new SourceBench();
        bench.Answer("/points/*", NwsStub.Problem(500, "UnexpectedProblem"));
        var desk = bench.Get<WeatherDesk>();
        await desk.ResolveAsync(SanAntonio, null, Ct);
        bench.Server.Reset();
        bench.Answer("/points/*", NwsStub.Problem(404, "InvalidPoint"));

        var cell = await desk.ResolveAsync(SanAntonio, null, Ct);
        var weather = await bench.FetchAsync(cell: cell);

        Assert.Equal(
            "US National Weather Service does not cover this place.",
            weather.Note(DataSubject.Forecast)!.Reason
        );
    }

    [Fact]
    public async Task An_address_with_nothing_there_is_told_apart_from_a_place_that_is_not_covered()
    {
        // Nothing is stubbed: every address is answered with a bare 404, as a wrong base address would be.
        await using var bench = new SourceBench(DeskBench.WithOpenMeteo);
        var cell = await bench.Get<WeatherDesk>().ResolveAsync(SanAntonio, null, Ct);

        var weather = await bench.FetchAsync(cell: cell);

        Assert.All(
            weather.Notes,
            n => Assert.DoesNotContain("does not cover", n.Reason, StringComparison.Ordinal)
        );
        var history = weather.Note(DataSubject.History)!;
        Assert.Equal("", history.SourceName);
        Assert.Equal(
            "NASA POWER Project (NASA Langley Research Center) did not have what we asked for. "
                + "Open-Meteo did not have what we asked for.",
            history.Reason
        );
    }

    [Fact]
    public async Task History_that_failed_is_told_in_the_name_of_the_source_that_failed()
    {
        await using var bench = new SourceBench();
        NwsStub.AnswersAll(bench);
        bench.Answer("/api/*", SourceBench.Error(500, "<html></html>", "text/html"));
        var kept = DeskBench.Kept(
            bench.Now - Duration.FromHours(30),
            bench.Now - Duration.FromHours(4),
            HourKind.Analysed,
            "nws",
            12
        );

        var history = (await bench.FetchAsync(kept)).Note(DataSubject.History)!;

        Assert.Equal(DataStanding.Missing, history.Standing);
        Assert.StartsWith("NASA POWER", history.SourceName, StringComparison.Ordinal);
        Assert.StartsWith("NASA POWER", history.Reason, StringComparison.Ordinal);
    }
}
