using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Http;
using Microsoft.Extensions.Time.Testing;
using TurfWatch.Weather.Http;
using WireMock.RequestBuilders;
using WireMock.ResponseBuilders;
using WireMock.Server;
using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>A stub service, a clock that only the test moves, and a cache folder of its own.</summary>
internal abstract class StubService : IAsyncDisposable
{
    /// <summary>A call that hangs while the clock stands must fail, not hang the run.</summary>
    private static readonly TimeSpan RealLimit = TimeSpan.FromSeconds(90);

    private int _underWay;
    private ServiceProvider? _services;

    public WireMockServer Server { get; } = WireMockServer.Start();

    public FakeTimeProvider Clock { get; } = new(new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero));

    public string Folder { get; init; } =
        Path.Combine(Path.GetTempPath(), "turfwatch-tests", Guid.NewGuid().ToString("N"));

    public int Requests => Server.LogEntries.Count;

    public int RequestsUnderWay => Volatile.Read(ref _underWay);

    protected IServiceProvider Services => _services!;

    /// <summary>Answers every request with this from now on.</summary>
    public void Answer(IResponseBuilder response) => AnswerInTurn(response);

    /// <summary>Answers one request after another; the last answer stays.</summary>
    public void AnswerInTurn(params IResponseBuilder[] responses) => PathInTurn("/*", responses);

    /// <summary>The same for one path, leaving the others as they are.</summary>
    public void PathInTurn(string path, params IResponseBuilder[] responses)
    {
        var scenario = Guid.NewGuid().ToString("N");
        if (path == "/*")
        {
            Server.ResetMappings();
        }

        for (var i = 0; i < responses.Length; i++)
        {
            var given = Server
                .Given(Request.Create().WithPath(path).UsingGet())
                .AtPriority(path.Contains('*') ? 10 : 1)
                .InScenario(scenario);
            var state = i == 0 ? given : given.WhenStateIs($"{i}");
            (i < responses.Length - 1 ? state.WillSetStateTo($"{i + 1}") : state).RespondWith(
                responses[i]
            );
        }
    }

    public static IResponseBuilder Json(string body) =>
        Response
            .Create()
            .WithStatusCode(200)
            .WithHeader("Content-Type", "application/geo+json")
            .WithBody(body);

    public static IResponseBuilder Problem(int status, string type = "UnexpectedProblem") =>
        Response
            .Create()
            .WithStatusCode(status)
            .WithHeader("Content-Type", "application/problem+json")
            .WithBody(
                $$"""{"correlationId":"c-17","title":"A title","type":"https://example.test/problems/{{type}}","status":{{status}},"detail":"A detail."}"""
            );

    public static IResponseBuilder Html(int status) =>
        Response
            .Create()
            .WithStatusCode(status)
            .WithHeader("Content-Type", "text/html")
            .WithBody("<html><body>Access denied</body></html>");

    public static async Task<WeatherSourceException> FaultOf(Task task) =>
        await Assert.ThrowsAsync<WeatherSourceException>(() => task);

    /// <summary>The value of a header of the newest request; null when it was not sent.</summary>
    public string? Sent(string header) =>
        Server.LogEntries[^1].RequestMessage!.Headers!.TryGetValue(header, out var values)
            ? string.Join(", ", values)
            : null;

    /// <summary>
    /// Moves the clock in small steps until the task is done; returns how far. While a request is on its
    /// way the clock stands, so that a slow machine does not look like a slow service; unless the test is
    /// about a slow service.
    /// </summary>
    public async Task<TimeSpan> RunAsync(
        Task task,
        TimeSpan? limit = null,
        bool slowService = false
    )
    {
        var start = Clock.GetUtcNow();
        var end = start + (limit ?? TimeSpan.FromMinutes(10));
        var real = System.Diagnostics.Stopwatch.StartNew();
        while (!task.IsCompleted && Clock.GetUtcNow() < end && real.Elapsed < RealLimit)
        {
            await Task.WhenAny(task, Task.Delay(3, TestContext.Current.CancellationToken));
            if (!task.IsCompleted && (slowService || RequestsUnderWay == 0))
            {
                Clock.Advance(TimeSpan.FromMilliseconds(250));
            }
        }

        Assert.True(task.IsCompleted, "the call went on for longer than its limit");
        return Clock.GetUtcNow() - start;
    }

    /// <summary>Runs the task and hands over its result.</summary>
    public async Task<T> RunAsync<T>(Task<T> task)
    {
        await RunAsync((Task)task);
        return await task;
    }

    public virtual async ValueTask DisposeAsync()
    {
        if (_services is not null)
        {
            await _services.DisposeAsync();
        }

        Server.Dispose();
        if (Directory.Exists(Folder))
        {
            Directory.Delete(Folder, recursive: true);
        }
    }

    protected void Start(Action<IServiceCollection> register)
    {
        var services = new ServiceCollection().AddSingleton<TimeProvider>(Clock);
        register(services);
        services.ConfigureAll<HttpClientFactoryOptions>(o =>
            o.HttpMessageHandlerBuilderActions.Add(b =>
                b.AdditionalHandlers.Add(new UnderWay(this))
            )
        );
        _services = services.BuildServiceProvider();
    }

    private sealed class UnderWay(StubService stub) : DelegatingHandler
    {
        protected override async Task<HttpResponseMessage> SendAsync(
            HttpRequestMessage request,
            CancellationToken cancellationToken
        )
        {
            Interlocked.Increment(ref stub._underWay);
            try
            {
                return await base.SendAsync(request, cancellationToken);
            }
            finally
            {
                Interlocked.Decrement(ref stub._underWay);
            }
        }
    }
}
