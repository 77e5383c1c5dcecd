using System.Net;
using System.Net.Sockets;
using System.Text;
using Microsoft.Extensions.Time.Testing;
using TurfWatch.Weather.Http;
using WireMock.ResponseBuilders;
using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>Slow, broken and absent services; how few requests an outage may cost.</summary>
public sealed class OutageTests
{
    [Fact]
    public async Task A_service_that_does_not_answer_is_given_up_at_the_total_time_out()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok().WithDelay(TimeSpan.FromMinutes(1)));
        var ask = bench.AskAsync();
        var took = await bench.RunAsync((Task)ask, slowService: true);
        Assert.Equal(WeatherFault.Unreachable, (await Bench.FaultOf(ask)).Fault);
        Assert.InRange(took.TotalSeconds, 8, 41);
    }

    [Fact]
    public async Task A_slow_try_is_ended_and_the_next_one_counts()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        await using var bench = new Bench(
            (_, o) => o.BaseAddress = new($"http://{listener.LocalEndpoint}")
        );
        var ask = bench.AskAsync();
        using var silent = await listener.AcceptSocketAsync();
        // Only a connection that carries the first try is dropped with it.
        await silent.ReceiveAsync(new byte[4096]);
        bench.Clock.Advance(TimeSpan.FromSeconds(9));
        var next = Task.Run(async () =>
        {
            using var socket = await listener.AcceptSocketAsync();
            await socket.ReceiveAsync(new byte[4096]);
            var answer =
                $"HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nContent-Length: {Bench.Value.Length}\r\n\r\n{Bench.Value}";
            await socket.SendAsync(Encoding.ASCII.GetBytes(answer));
        });
        Assert.Equal(1.5, (await bench.RunAsync(ask)).Body.Value);
        await next;
    }

    [Theory]
    [InlineData(FaultType.EMPTY_RESPONSE)]
    [InlineData(FaultType.MALFORMED_RESPONSE_CHUNK)]
    public async Task A_broken_answer_is_a_fault_of_the_service(FaultType kind)
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok().WithFault(kind));
        var ask = bench.AskAsync();
        await bench.RunAsync((Task)ask);
        var fault = await Bench.FaultOf(ask);
        Assert.True(
            fault.Fault is WeatherFault.BadAnswer or WeatherFault.Unreachable,
            fault.Message
        );
    }

    [Fact]
    public async Task A_connection_that_is_reset_is_unreachable()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        var accepted = 0;
        var accepting = Task.Run(async () =>
        {
            while (true)
            {
                using var socket = await listener.AcceptSocketAsync();
                socket.LingerState = new(true, 0); // close with RST
                accepted++;
            }
        });
        await using var bench = new Bench(
            (_, o) => o.BaseAddress = new($"http://{listener.LocalEndpoint}")
        );
        var ask = bench.AskAsync();
        await bench.RunAsync((Task)ask);
        Assert.Equal(WeatherFault.Unreachable, (await Bench.FaultOf(ask)).Fault);
        Assert.InRange(accepted, 4, 8);
        listener.Stop();
        await Assert.ThrowsAnyAsync<Exception>(() => accepting);
    }

    [Fact]
    public async Task A_bare_socket_fault_is_tried_again_and_then_unreachable()
    {
        var tries = 0;
        await using var bench = new Bench(innermost: () => new Reset(() => tries++));
        var ask = bench.AskAsync();
        await bench.RunAsync((Task)ask);
        Assert.Equal(WeatherFault.Unreachable, (await Bench.FaultOf(ask)).Fault);
        Assert.Equal(4, tries);
    }

    private sealed class Reset(Action tried) : DelegatingHandler
    {
        protected override Task<HttpResponseMessage> SendAsync(
            HttpRequestMessage request,
            CancellationToken cancellationToken
        )
        {
            tried();
            throw new SocketException((int)SocketError.NotConnected);
        }
    }

    [Fact]
    public async Task Nobody_at_the_address_is_unreachable()
    {
        await using var bench = new Bench((_, o) => o.BaseAddress = new("http://127.0.0.1:9"));
        var ask = bench.AskAsync();
        await bench.RunAsync((Task)ask);
        Assert.Equal(WeatherFault.Unreachable, (await Bench.FaultOf(ask)).Fault);
    }

    [Fact]
    public async Task Five_thousand_callers_in_fifty_cells_cost_at_most_fifty_five_requests_in_an_outage()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Problem(503, "UnavailableWebService"));
        var calls = Enumerable
            .Range(0, 5000)
            .Select(i => bench.AskAsync($"cell-{i % 50}"))
            .ToArray();
        await bench.RunAsync((Task)Task.WhenAll(calls));
        Assert.All(calls, c => Assert.IsType<WeatherSourceException>(c.Exception!.InnerException));
        Assert.InRange(bench.Requests, 1, 55);
    }

    [Fact]
    public async Task The_breaker_opens_then_lets_one_through_after_its_time()
    {
        await using var bench = new Bench((w, _) => w.RetryBudgetBurst = 0);
        bench.Answer(Bench.Problem(502));
        for (var i = 0; i < 10; i++)
        {
            await Bench.FaultOf(bench.AskAsync($"{i}"));
        }

        Assert.Equal(10, bench.Requests);
        var refused = await Bench.FaultOf(bench.AskAsync());
        Assert.Contains("left alone", refused.Message, StringComparison.Ordinal);
        Assert.Equal(10, bench.Requests);

        bench.Answer(Bench.Ok());
        bench.Clock.Advance(TimeSpan.FromMinutes(2.1));
        Assert.Equal(1.5, (await bench.AskAsync()).Body.Value);
        Assert.Equal(11, bench.Requests);
    }

    [Fact]
    public void Extra_tries_are_a_tenth_of_the_requests_and_a_small_burst()
    {
        var budget = new RetryBudget(0.1, 10, new FakeTimeProvider());
        var spent = 0;
        for (var i = 0; i < 1000; i++)
        {
            budget.Earn();
            while (budget.TrySpend())
            {
                spent++;
            }
        }

        Assert.InRange(spent, 100, 110);
    }

    [Fact]
    public void A_single_household_gets_its_extra_tries_back_with_time()
    {
        var clock = new FakeTimeProvider();
        var budget = new RetryBudget(0.1, 3, clock);
        Assert.Equal(
            [true, true, true, false],
            Enumerable.Range(0, 4).Select(_ => budget.TrySpend())
        );
        clock.Advance(TimeSpan.FromMinutes(2));
        Assert.Equal([true, true, false], Enumerable.Range(0, 3).Select(_ => budget.TrySpend()));
    }

    [Fact]
    public async Task At_most_three_requests_are_under_way_at_one_service()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok().WithDelay(TimeSpan.FromMilliseconds(150)));
        var calls = Enumerable.Range(0, 9).Select(i => bench.AskAsync($"{i}")).ToArray();
        await Task.WhenAll(calls);
        var starts = bench
            .Server.LogEntries.Select(e => e.RequestMessage!.DateTime)
            .Order()
            .ToArray();
        for (var i = 3; i < starts.Length; i++)
        {
            // The fourth cannot start before one of the three before it is answered.
            Assert.True(
                starts[i] - starts[i - 3] >= TimeSpan.FromMilliseconds(140),
                "four were under way at once"
            );
        }
    }
}
