using System.IO.Compression;
using System.Text;
using WireMock.ResponseBuilders;
using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>A status of 200 proves nothing.</summary>
public sealed class HostileBodyTests
{
    public static TheoryData<string> Bodies =>
        [
            "",
            """{"value":1.""",
            """{"value":NaN}""",
            """{"value":1.5}}""",
            "<html></html>",
            "null",
            "[1,2]",
            """{"value":"one and a half"}""",
        ];

    [Theory]
    [MemberData(nameof(Bodies))]
    public async Task A_body_that_is_not_the_promised_json_is_a_bad_answer(string body)
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Json(body));
        var ask = bench.AskAsync();
        await bench.RunAsync((Task)ask);
        Assert.Equal(WeatherFault.BadAnswer, (await Bench.FaultOf(ask)).Fault);
    }

    [Fact]
    public async Task Html_with_200_is_refused_before_it_is_parsed_and_not_asked_again()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Html(200));
        var fault = await Bench.FaultOf(bench.AskAsync());
        Assert.Equal(WeatherFault.BadAnswer, fault.Fault);
        Assert.Contains("text/html", fault.Message, StringComparison.Ordinal);
        Assert.Equal(1, bench.Requests);
    }

    [Fact]
    public async Task A_bad_body_does_not_replace_the_last_good_one()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Ok(), Bench.Html(200), Bench.Html(200));
        await bench.AskAsync();
        bench.Clock.Advance(TimeSpan.FromHours(2));
        var answer = await bench.AskAsync();
        Assert.Equal(1.5, answer.Body.Value);
        Assert.NotNull(answer.Origin.StaleReason);
    }

    [Fact]
    public async Task A_body_over_the_limit_is_not_taken_in()
    {
        await using var bench = new Bench((_, o) => o.MaxBodyBytes = 100_000);
        bench.Answer(Bench.Json($$"""{"value":1.5,"pad":"{{new string('x', 200_000)}}"}"""));
        var fault = await Bench.FaultOf(bench.AskAsync());
        Assert.Equal(WeatherFault.BadAnswer, fault.Fault);
        Assert.Contains("100000", fault.Message, StringComparison.Ordinal);
        Assert.Equal(1, bench.Requests);
    }

    [Fact]
    public async Task A_small_body_that_unpacks_to_a_thousand_times_its_size_is_not_taken_in()
    {
        await using var bench = new Bench((_, o) => o.MaxBodyBytes = 1_000_000);
        var body = Packed($$"""{"value":1.5,"pad":"{{new string('x', 9_000_000)}}"}""");
        bench.Answer(body);
        var fault = await Bench.FaultOf(bench.AskAsync());
        Assert.Equal(WeatherFault.BadAnswer, fault.Fault);
        Assert.Contains("more than 1000000 bytes", fault.Message, StringComparison.Ordinal);
        Assert.Equal(1, bench.Requests);
    }

    [Fact]
    public async Task Compression_is_asked_for_and_understood()
    {
        await using var bench = new Bench();
        bench.Answer(Packed(Bench.Value));
        Assert.Equal(1.5, (await bench.AskAsync()).Body.Value);
        Assert.Contains("gzip", bench.Sent("Accept-Encoding"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Who_asks_and_for_what_is_always_said()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok());
        await bench.AskAsync();
        Assert.Equal("(TurfWatch, ops@example.test)", bench.Sent("User-Agent"));
        Assert.Equal("application/json", bench.Sent("Accept"));
    }

    private static IResponseBuilder Packed(string body)
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest))
        {
            gzip.Write(Encoding.UTF8.GetBytes(body));
        }

        return Response
            .Create()
            .WithStatusCode(200)
            .WithHeader("Content-Type", "application/json")
            .WithHeader("Content-Encoding", "gzip")
            .WithBody(packed.ToArray());
    }
}
