using TurfWatch.Core;
using TurfWatch.Weather.Tests.Http;
using Xunit;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>How old and how good a forecast is; what is done when there is none.</summary>
public sealed class NwsForecastTests
{
    [Fact]
    public async Task A_new_forecast_is_fresh_and_dated_by_the_office_not_by_us()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(NwsBench.GridPath, NwsBench.Json(GridBody.Usual().ToString()));
        var forecast = await bench.ForecastAsync();
        Assert.Equal(
            new DataNote(
                DataSubject.Forecast,
                "US National Weather Service",
                NodaTime.Instant.FromUtc(2026, 3, 1, 11, 0),
                DataStanding.Fresh
            ),
            forecast.Note
        );
        Assert.Equal(48, forecast.Hours.Count);
        Assert.Equal("application/geo+json", bench.Sent("Accept"));
    }

    [Theory]
    [InlineData("2026-02-28T18:30:00+00:00", DataStanding.Fresh)] // 17.5 h
    [InlineData("2026-02-28T17:30:00+00:00", DataStanding.Stale)] // 18.5 h
    [InlineData("2026-02-28T00:30:00+00:00", DataStanding.Stale)] // 35.5 h
    [InlineData("2026-03-04T00:00:00+00:00", DataStanding.Stale)] // dated in the future
    [InlineData(null, DataStanding.Stale)] // not dated
    public async Task Freshness_goes_by_the_offices_time_not_by_the_status(
        string? updated,
        DataStanding expected
    )
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Json(new GridBodyWith(updated).Body));
        var note = (await bench.ForecastAsync()).Note;
        Assert.Equal(expected, note.Standing);
        Assert.Equal(expected == DataStanding.Stale, note.Reason is not null);
    }

    [Fact]
    public async Task Two_day_old_data_with_200_are_not_used_as_current()
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Json(new GridBodyWith("2026-02-27T11:00:00+00:00").Body));
        var fault = await StubService.FaultOf(bench.ForecastAsync());
        Assert.Equal(WeatherFault.TooOld, fault.Fault);
        Assert.Contains("49 hours", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_usual_passing_error_of_gridpoints_is_got_over()
    {
        await using var bench = new NwsBench();
        bench.AnswerInTurn(
            NwsBench.Problem(500),
            NwsBench.Problem(500),
            NwsBench.Json(GridBody.Usual().ToString())
        );
        Assert.Equal(48, (await bench.RunAsync(bench.ForecastAsync())).Hours.Count);
    }

    [Theory]
    [InlineData(500, "UnexpectedProblem")]
    [InlineData(503, "ForecastGridExpired")]
    [InlineData(503, "UnavailableWebService")]
    public async Task The_last_good_forecast_stands_in_and_says_so(int status, string type)
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Json(GridBody.Usual().ToString()));
        await bench.ForecastAsync();
        bench.Answer(NwsBench.Problem(status, type));
        bench.Clock.Advance(TimeSpan.FromHours(3));
        var forecast = await bench.RunAsync(bench.ForecastAsync());
        Assert.Equal(DataStanding.Stale, forecast.Note.Standing);
        Assert.Equal(
            "The service did not answer; its last good answer stands in.",
            forecast.Note.Reason
        );
        Assert.Equal(NodaTime.Instant.FromUtc(2026, 3, 1, 11, 0), forecast.Note.DataTime);
        // What was to come three hours ago has passed meanwhile.
        Assert.Equal(HourKind.Analysed, forecast.Hours.Origins[8].Kind);
    }

    [Fact]
    public async Task An_expired_grid_without_a_kept_one_is_too_old()
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Problem(503, "ForecastGridExpired"));
        Assert.Equal(WeatherFault.TooOld, (await StubService.FaultOf(bench.ForecastAsync())).Fault);
    }

    [Theory]
    [InlineData("MarineForecastNotSupported")]
    [InlineData("NotFound")]
    public async Task A_cell_that_is_gone_says_that_it_must_be_looked_up_again(string type)
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Problem(404, type));
        Assert.Equal(
            WeatherFault.NoCoverage,
            (await StubService.FaultOf(bench.ForecastAsync())).Fault
        );
    }

    [Fact]
    public async Task A_cell_that_now_lies_elsewhere_says_so_too()
    {
        await using var bench = new NwsBench();
        var moved = GridBody.Usual();
        moved.Geometry =
            """{"type":"Polygon","coordinates":[[[-71.02,42.29],[-71.02,42.31],[-70.98,42.31],[-70.98,42.29],[-71.02,42.29]]]}""";
        bench.Answer(NwsBench.Json(moved.ToString()));
        Assert.Equal(
            WeatherFault.NoCoverage,
            (await StubService.FaultOf(bench.ForecastAsync())).Fault
        );
    }

    [Fact]
    public async Task A_place_without_a_grid_costs_no_request()
    {
        await using var bench = new NwsBench();
        var cell = NwsBench.Cell with { GridId = null };
        var fault = await StubService.FaultOf(bench.Source.ForecastAsync(cell, default));
        Assert.Equal(WeatherFault.NoCoverage, fault.Fault);
        Assert.Equal(0, bench.Requests);
    }

    [Theory]
    [InlineData("{}")]
    [InlineData("""{"properties":null}""")]
    [InlineData("""{"properties":[]}""")]
    [InlineData("""{"properties":{"updateTime":5,"temperature":7}}""")]
    public async Task An_answer_of_another_shape_is_bad(string body)
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Json(body));
        Assert.Equal(
            WeatherFault.BadAnswer,
            (await StubService.FaultOf(bench.ForecastAsync())).Fault
        );
    }

    private sealed record GridBodyWith(string? Updated)
    {
        public string Body
        {
            get
            {
                var body = GridBody.Usual();
                body.UpdateTime = Updated;
                return body.ToString();
            }
        }
    }
}
