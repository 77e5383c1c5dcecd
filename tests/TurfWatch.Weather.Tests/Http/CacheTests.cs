using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>How long an answer serves, when it is confirmed, and when it stands in.</summary>
public sealed class CacheTests
{
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    [Theory]
    [InlineData("public, max-age=481, s-maxage=1800", 1800)] // the shared lifetime leads
    [InlineData("public, max-age=481", 481)]
    [InlineData("max-age=0", 30)] // not below the rule's least
    [InlineData("no-cache", 30)]
    [InlineData("max-age=31536000", 3600)] // not above its most
    [InlineData(null, 600)] // the service says nothing
    public async Task An_answer_is_fresh_for_as_long_as_the_service_says_within_bounds(
        string? control,
        int seconds
    )
    {
        await using var bench = new Bench();
        bench.Answer(
            control is null ? Bench.Ok() : Bench.Ok().WithHeader("Cache-Control", control)
        );
        await bench.AskAsync();
        bench.Clock.Advance(TimeSpan.FromSeconds(seconds - 1));
        await bench.AskAsync();
        Assert.Equal(1, bench.Requests);
        bench.Clock.Advance(TimeSpan.FromSeconds(2));
        await bench.AskAsync();
        Assert.Equal(2, bench.Requests);
    }

    [Theory]
    [InlineData("2026-03-01T11:20:00Z", 20)]
    [InlineData("2026-03-01T10:00:00Z", 0.5)] // already over: not below the rule's least
    public void Expires_counts_from_the_services_own_clock(string expires, double minutes)
    {
        using var response = new HttpResponseMessage();
        response.Headers.Date = new(2026, 3, 1, 11, 0, 0, TimeSpan.Zero);
        var lifetime = Bench.Rule.Lifetime(
            response.Headers,
            DateTimeOffset.Parse(expires),
            new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero)
        );
        Assert.Equal(minutes, lifetime.TotalMinutes);
    }

    [Fact]
    public async Task A_copy_is_confirmed_with_304_which_renews_its_age_only()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(
            Bench
                .Ok()
                .WithHeader("ETag", "\"v1\"")
                .WithHeader("Last-Modified", "Sun, 01 Mar 2026 09:12:33 GMT"),
            WireMock.ResponseBuilders.Response.Create().WithStatusCode(304)
        );
        var first = await bench.AskAsync();
        bench.Clock.Advance(20 * Minute);
        var second = await bench.AskAsync();
        Assert.Equal("\"v1\"", bench.Sent("If-None-Match"));
        Assert.Equal("Sun, 01 Mar 2026 09:12:33 GMT", bench.Sent("If-Modified-Since"));
        Assert.Equal(1.5, second.Body.Value);
        Assert.Null(second.Origin.StaleReason);
        Assert.Equal(20, (second.Origin.CheckedAt - first.Origin.CheckedAt).TotalMinutes);

        bench.Clock.Advance(9 * Minute);
        await bench.AskAsync();
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task A_last_modified_of_the_future_is_not_sent_back()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok().WithHeader("Last-Modified", "Wed, 04 Mar 2026 12:00:00 GMT"));
        await bench.AskAsync();
        bench.Clock.Advance(20 * Minute);
        await bench.AskAsync();
        Assert.Null(bench.Sent("If-Modified-Since"));
    }

    [Fact]
    public async Task An_error_is_never_kept_though_its_headers_ask_for_it()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(
            Bench.Problem(404).WithHeader("Cache-Control", "private, max-age=86400"),
            Bench.Ok()
        );
        await Bench.FaultOf(bench.AskAsync());
        Assert.Equal(1.5, (await bench.AskAsync()).Body.Value);
    }

    [Theory]
    [InlineData(500)]
    [InlineData(503)]
    [InlineData(403)]
    public async Task The_last_good_answer_stands_in_marked_and_only_within_its_limit(int status)
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok());
        var good = await bench.AskAsync();
        bench.Answer(Bench.Problem(status));
        bench.Clock.Advance(TimeSpan.FromHours(23));
        var standIn = await bench.RunAsync(bench.AskAsync());
        Assert.Equal(1.5, standIn.Body.Value);
        Assert.Contains($"{status}", standIn.Origin.StaleReason, StringComparison.Ordinal);
        Assert.Equal(good.Origin.CheckedAt, standIn.Origin.CheckedAt);

        bench.Clock.Advance(TimeSpan.FromHours(2));
        var late = bench.AskAsync();
        await bench.RunAsync((Task)late);
        await Bench.FaultOf(late);
    }

    [Fact]
    public async Task A_place_that_is_gone_is_not_papered_over_by_the_last_good_answer()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Ok(), Bench.Problem(404, "MarineForecastNotSupported"));
        await bench.AskAsync();
        bench.Clock.Advance(20 * Minute);
        Assert.Equal(WeatherFault.NoCoverage, (await Bench.FaultOf(bench.AskAsync())).Fault);
    }

    [Fact]
    public async Task After_an_outage_the_service_is_asked_again_at_once()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Ok(), Bench.Html(403), Bench.Json("""{"value":2}"""));
        await bench.AskAsync();
        bench.Clock.Advance(20 * Minute);
        await bench.AskAsync();
        Assert.Equal(2, (await bench.AskAsync()).Body.Value);
    }

    [Fact]
    public async Task No_store_is_respected()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok().WithHeader("Cache-Control", "no-store"));
        await bench.AskAsync();
        await bench.AskAsync();
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task A_rule_may_ask_again_in_spite_of_a_fresh_copy()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok());
        await bench.AskAsync();
        await bench.AskAsync(rule: Bench.Rule with { AskAgain = true });
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task Callers_who_ask_the_same_meanwhile_share_one_request()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok().WithDelay(TimeSpan.FromMilliseconds(100)));
        var answers = await Task.WhenAll(Enumerable.Range(0, 100).Select(_ => bench.AskAsync()));
        Assert.All(answers, a => Assert.Equal(1.5, a.Body.Value));
        Assert.Equal(1, bench.Requests);
    }

    [Fact]
    public async Task One_callers_cancellation_leaves_the_others_their_answer()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok().WithDelay(TimeSpan.FromMilliseconds(200)));
        using var leaving = new CancellationTokenSource();
        var leaver = bench.AskAsync(ct: leaving.Token);
        var stayer = bench.AskAsync();
        await leaving.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => leaver);
        Assert.Equal(1.5, (await stayer).Body.Value);
        Assert.Equal(1, bench.Requests);
    }
}
