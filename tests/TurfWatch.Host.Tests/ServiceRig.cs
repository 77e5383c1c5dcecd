using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using NodaTime;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Web;
using TurfWatch.Mail;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests;

/// <summary>The whole service in this process, at a free port.</summary>
internal sealed class ServiceRig : IAsyncDisposable
{
    private readonly WebApplication _app;

    private ServiceRig(WebApplication app, TurfStore store, LinkTokens tokens)
    {
        _app = app;
        Store = store;
        Tokens = tokens;
        Http = new HttpClient(new HttpClientHandler { AllowAutoRedirect = false })
        {
            BaseAddress = new Uri(app.Urls.First()),
        };
    }

    public TurfStore Store { get; }

    public LinkTokens Tokens { get; }

    public HttpClient Http { get; }

    public HealthBoard Health => _app.Services.GetRequiredService<HealthBoard>();

    public static async Task<ServiceRig> StartAsync(
        Scratch scratch,
        TimeProvider clock,
        string weather = "\"Nws\": { \"Enabled\": false }, \"NasaPower\": { \"Enabled\": false }",
        string more = "",
        string web = ""
    )
    {
        var settings = SettingsLoader.Load(
            scratch.Write(
                "service.json",
                $$"""
                {
                  "Weather": { "Contact": "ops@example.org", "CacheDirectory": "{{scratch.Folder}}/cache", {{weather}} },
                  "Store": { "DataDirectory": "{{scratch.Folder}}/data" },
                  "Web": { "Listen": "http://127.0.0.1:0"{{web}} },
                  "Log": { "Level": "Error" },
                  "Jobs": { "FetchSweep": "00:00:01", "MorningSweep": "00:00:01", "SeasonSweep": "00:00:01", "DeliverSweep": "00:00:01" }{{more}}
                }
                """
            ),
            scratch.Folder
        );
        var cancel = TestContext.Current.CancellationToken;
        var store = await TurfStore.OpenAsync(settings.Get<StoreOptions>(), clock, cancel);
        var tokens = LinkTokens.Open(settings.Get<StoreOptions>().DataDirectory);
        var app = ServiceHost.Build(settings, store, tokens, clock);
        await app.StartAsync(cancel);
        return new ServiceRig(app, store, tokens);
    }

    /// <summary>
    /// Waits until each sweep named has begun and ended after this moment: the first end seen may be that of
    /// a run which had begun before, so it takes two (no sweep runs beside itself).
    /// </summary>
    public async Task SweptAsync(TimeProvider clock, params string[] jobs)
    {
        for (var end = 0; end < 2; end++)
        {
            var since = Instant.FromDateTimeOffset(clock.GetUtcNow());
            await Wait.UntilAsync(() => jobs.All(job => Health.LastTick(job) > since));
        }
    }

    public async ValueTask DisposeAsync()
    {
        Http.Dispose();
        await _app.StopAsync();
        await _app.DisposeAsync();
        await Store.DisposeAsync();
    }
}

/// <summary>Waits for what another thread does.</summary>
internal static class Wait
{
    public static async Task UntilAsync(Func<bool> condition)
    {
        // Generous: the machine that runs the tests may be busy.
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(
            TestContext.Current.CancellationToken
        );
        limit.CancelAfter(TimeSpan.FromSeconds(90));
        while (!condition())
        {
            await Task.Delay(50, limit.Token);
        }
    }
}
