using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>Which faults are asked again, how often, and after what wait.</summary>
public sealed class RetryTests
{
    [Fact]
    public async Task Two_errors_then_an_answer_make_three_requests_and_one_result()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Problem(500), Bench.Problem(500), Bench.Ok());
        var ask = bench.AskAsync();
        var took = await bench.RunAsync((Task)ask);
        Assert.Equal(1.5, (await ask).Body.Value);
        Assert.Null((await ask).Origin.StaleReason);
        Assert.Equal(3, bench.Requests);
        Assert.True(took > TimeSpan.Zero, "retries must wait");
    }

    [Fact]
    public async Task A_lasting_error_ends_after_three_extra_tries_and_names_its_correlation_id()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Problem(500));
        var ask = bench.AskAsync();
        await bench.RunAsync((Task)ask);
        var fault = await Bench.FaultOf(ask);
        Assert.Equal(WeatherFault.Unreachable, fault.Fault);
        Assert.Equal(4, bench.Requests);
        Assert.Contains("500 UnexpectedProblem", fault.Message, StringComparison.Ordinal);
        Assert.Contains("correlationId c-17", fault.Message, StringComparison.Ordinal);
        Assert.Equal("The Probe Service could not be reached.", fault.ReaderText);
    }

    [Theory]
    [InlineData(400, "BadRequest", WeatherFault.Refused)]
    [InlineData(404, "InvalidPoint", WeatherFault.NoCoverage)]
    [InlineData(404, "MarineForecastNotSupported", WeatherFault.NoCoverage)]
    [InlineData(404, "NotFound", WeatherFault.NoCoverage)]
    [InlineData(503, "ForecastGridExpired", WeatherFault.TooOld)]
    [InlineData(503, "ForecastMissingData", WeatherFault.TooOld)]
    public async Task What_cannot_pass_in_seconds_is_asked_once(
        int status,
        string type,
        WeatherFault expected
    )
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Problem(status, type));
        var ask = bench.AskAsync();
        await bench.RunAsync((Task)ask);
        Assert.Equal(expected, (await Bench.FaultOf(ask)).Fault);
        Assert.Equal(1, bench.Requests);
    }

    [Fact]
    public async Task A_refused_parameter_is_told_to_the_operator()
    {
        await using var bench = new Bench();
        bench.Answer(
            Bench
                .Problem(400)
                .WithBody(
                    """{"parameterErrors":[{"parameter":"query.limit","message":"not recognized"}],"title":"Bad Request","status":400}"""
                )
        );
        var fault = await Bench.FaultOf(bench.AskAsync());
        Assert.Contains("query.limit", fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("query", fault.ReaderText, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_block_by_the_network_in_front_of_the_service_is_not_hammered()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Html(403));
        var fault = await Bench.FaultOf(bench.AskAsync());
        Assert.Equal(WeatherFault.Refused, fault.Fault);
        Assert.Equal(1, bench.Requests);
    }

    [Theory]
    [InlineData(502)]
    [InlineData(504)]
    [InlineData(408)]
    public async Task A_gateway_fault_without_a_problem_body_is_asked_again(int status)
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Html(status), Bench.Ok());
        Assert.Equal(1.5, (await bench.RunAsync(bench.AskAsync())).Body.Value);
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task An_unavailable_back_end_is_asked_again()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Problem(503, "UnavailableWebService"), Bench.Ok());
        await bench.RunAsync(bench.AskAsync());
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task A_rate_limit_without_a_wait_is_given_five_seconds()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Problem(429), Bench.Ok());
        var ask = bench.AskAsync();
        var took = await bench.RunAsync((Task)ask);
        Assert.Equal(1.5, (await ask).Body.Value);
        Assert.True(took >= TimeSpan.FromSeconds(5), $"asked again after {took}");
    }

    [Theory]
    [InlineData(429, "4")]
    [InlineData(503, "4")]
    [InlineData(503, "Sun, 01 Mar 2026 12:00:04 GMT")]
    public async Task A_short_wait_that_the_service_asks_for_is_waited_out(int status, string asked)
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(
            Bench.Problem(status, "UnavailableWebService").WithHeader("Retry-After", asked),
            Bench.Ok()
        );
        var ask = bench.AskAsync();
        var took = await bench.RunAsync((Task)ask);
        Assert.Equal(1.5, (await ask).Body.Value);
        Assert.True(took >= TimeSpan.FromSeconds(4), $"asked again after {took}");
    }

    [Theory]
    [InlineData("120", 120)]
    [InlineData("Sun, 01 Mar 2026 12:02:00 GMT", 120)]
    [InlineData("1000000000", 3600)]
    public async Task A_long_wait_ends_the_call_and_nothing_is_sent_until_it_or_its_cap_is_over(
        string asked,
        int seconds
    )
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Problem(429).WithHeader("Retry-After", asked), Bench.Ok());
        var first = bench.AskAsync();
        await bench.RunAsync((Task)first);
        Assert.Equal(WeatherFault.RateLimited, (await Bench.FaultOf(first)).Fault);

        bench.Clock.Advance(TimeSpan.FromSeconds(seconds - 15));
        var early = bench.AskAsync("another");
        await bench.RunAsync((Task)early);
        Assert.Equal(WeatherFault.RateLimited, (await Bench.FaultOf(early)).Fault);
        Assert.Equal(1, bench.Requests);

        bench.Clock.Advance(TimeSpan.FromSeconds(16));
        Assert.Equal(1.5, (await bench.RunAsync(bench.AskAsync())).Body.Value);
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task A_short_pause_that_another_request_met_is_waited_out_and_costs_no_extra_try()
    {
        await using var bench = new Bench((w, _) => w.RetryBudgetBurst = 0);
        bench.Answer(Bench.Ok());
        bench.Hold(TimeSpan.FromSeconds(5));
        var ask = bench.AskAsync();
        var took = await bench.RunAsync((Task)ask);
        Assert.Equal(1.5, (await ask).Body.Value);
        Assert.True(took >= TimeSpan.FromSeconds(5), $"sent after {took}");
        Assert.Equal(1, bench.Requests);
    }

    [Fact]
    public async Task An_expired_grid_does_not_hold_back_the_others()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(
            Bench.Problem(503, "ForecastGridExpired").WithHeader("Retry-After", "600"),
            Bench.Ok()
        );
        await Bench.FaultOf(bench.AskAsync());
        Assert.Equal(1.5, (await bench.RunAsync(bench.AskAsync("another"))).Body.Value);
    }
}
