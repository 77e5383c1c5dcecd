using Xunit;

namespace TurfWatch.Weather.Tests.Http;

public sealed class RetryTests
{
    [Fact]
    public async Task Two_errors_then_an_answer_make_three_requests_and_one_result()
    {
        await using var bench = new Bench();
        bench.AnswerInTurn(Bench.Problem(500), Bench.Problem(500), Bench.Json());
        var ask = bench.AskAsync();
        var took = await bench.RunAsync(ask);
        Assert.Equal(1.5, (await ask).Body.Value);
        Assert.Null((await ask).Origin.StaleReason);
        Assert.Equal(3, bench.Requests);
        Assert.True(took > TimeSpan.Zero, "retries must wait");
    }
}
