using Microsoft.Playwright;
using Xunit;

namespace TurfWatch.Testing.Browser;

/// <summary>One Chromium for a test class, started when the first test asks for it.</summary>
public sealed class TestBrowser : IAsyncLifetime
{
    private readonly SemaphoreSlim _starting = new(1);
    private IPlaywright? _playwright;
    private IBrowser? _browser;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async Task<IBrowser> StartedAsync()
    {
        var path = Needs.Program("chromium", "chromium");
        await _starting.WaitAsync();
        try
        {
            _playwright ??= await Playwright.CreateAsync();
            return _browser ??= await _playwright.Chromium.LaunchAsync(
                new()
                {
                    ExecutablePath = path,
                    Args =
                    [
                        "--no-sandbox",
                        "--disable-gpu",
                        "--disable-quic",
                        "--no-first-run",
                        "--disable-background-networking",
                        "--disable-component-update",
                        "--disable-sync",
                    ],
                }
            );
        }
        finally
        {
            _starting.Release();
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }

        _playwright?.Dispose();
        _starting.Dispose();
    }
}
