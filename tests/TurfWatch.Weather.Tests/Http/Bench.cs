using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Http;
using Microsoft.Extensions.Time.Testing;
using TurfWatch.Weather.Http;
using WireMock.RequestBuilders;
using WireMock.ResponseBuilders;
using WireMock.Server;
using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>A stub service, the plumbing pointed at it, a clock that only we move, and a cache folder of its own.</summary>
internal sealed class Bench : IAsyncDisposable
{
    public const string Ok = """{"value":1.5}""";

    private static readonly CacheRule DefaultRule = new(
        TimeSpan.Zero,
        TimeSpan.FromMinutes(10),
        TimeSpan.FromHours(1),
        TimeSpan.FromHours(24)
    );

    private readonly ServiceProvider _services;
    private int _underWay;

    public Bench(Action<WeatherOptions, OriginOptions>? configure = null)
    {
        Weather = new() { CacheDirectory = Folder, Contact = "ops@example.test" };
        Origin = new() { BaseAddress = new Uri(Server.Url!) };
        configure?.Invoke(Weather, Origin);
        _services = new ServiceCollection()
            .AddSingleton<TimeProvider>(Clock)
            .AddWeatherHttp(Weather)
            .AddWeatherOrigin<IProbeApi>("probe", Origin)
            .ConfigureAll<HttpClientFactoryOptions>(o =>
                o.HttpMessageHandlerBuilderActions.Add(b =>
                    b.AdditionalHandlers.Add(new UnderWay(this))
                )
            )
            .BuildServiceProvider();
        Api = _services.GetRequiredService<IProbeApi>();
        Reader = new("probe", "The Probe Service", Clock);
    }

    public WireMockServer Server { get; } = WireMockServer.Start();

    public FakeTimeProvider Clock { get; } = new(new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero));

    public string Folder { get; } =
        Path.Combine(Path.GetTempPath(), "turfwatch-tests", Guid.NewGuid().ToString("N"));

    public WeatherOptions Weather { get; }

    public OriginOptions Origin { get; }

    public IProbeApi Api { get; }

    public WeatherReader Reader { get; }

    public int Requests => Server.LogEntries.Count;

    /// <summary>Answers every request with this from now on.</summary>
    public void Answer(IResponseBuilder response)
    {
        Server.ResetMappings();
        Server.ResetScenarios();
        Server.Given(Request.Create().UsingGet()).RespondWith(response);
    }

    /// <summary>Answers one request after another; the last answer stays.</summary>
    public void AnswerInTurn(params IResponseBuilder[] responses)
    {
        Server.ResetMappings();
        Server.ResetScenarios();
        for (var i = 0; i < responses.Length; i++)
        {
            var given = Server.Given(Request.Create().UsingGet()).InScenario("turn");
            var state = i == 0 ? given : given.WhenStateIs($"{i}");
            (i < responses.Length - 1 ? state.WillSetStateTo($"{i + 1}") : state).RespondWith(
                responses[i]
            );
        }
    }

    public static IResponseBuilder Json(string body = Ok) =>
        Response
            .Create()
            .WithStatusCode(200)
            .WithHeader("Content-Type", "application/json")
            .WithBody(body);

    public static IResponseBuilder Problem(int status, string type = "UnexpectedProblem") =>
        Response
            .Create()
            .WithStatusCode(status)
            .WithHeader("Content-Type", "application/problem+json")
            .WithBody(
                $$"""{"correlationId":"c-17","title":"A title","type":"https://example.test/problems/{{type}}","status":{{status}},"detail":"A detail."}"""
            );

    public Task<WeatherAnswer<Probe>> AskAsync(string id = "a", CacheRule? rule = null) =>
        Reader.ReadAsync(
            () => Api.ThingAsync(id, rule ?? DefaultRule, CancellationToken.None),
            ProbeJson.Default.Probe,
            TestContext.Current.CancellationToken
        );

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
        while (!task.IsCompleted && Clock.GetUtcNow() < end)
        {
            await Task.WhenAny(task, Task.Delay(3, TestContext.Current.CancellationToken));
            if (!task.IsCompleted && (slowService || Volatile.Read(ref _underWay) == 0))
            {
                Clock.Advance(TimeSpan.FromMilliseconds(250));
            }
        }

        Assert.True(task.IsCompleted, "the call went on for longer than its limit");
        return Clock.GetUtcNow() - start;
    }

    public async ValueTask DisposeAsync()
    {
        await _services.DisposeAsync();
        Server.Dispose();
        if (Directory.Exists(Folder))
        {
            Directory.Delete(Folder, recursive: true);
        }
    }

    private sealed class UnderWay(Bench bench) : DelegatingHandler
    {
        protected override async Task<HttpResponseMessage> SendAsync(
            HttpRequestMessage request,
            CancellationToken cancellationToken
        )
        {
            Interlocked.Increment(ref bench._underWay);
            try
            {
                return await base.SendAsync(request, cancellationToken);
            }
            finally
            {
                Interlocked.Decrement(ref bench._underWay);
            }
        }
    }
}
