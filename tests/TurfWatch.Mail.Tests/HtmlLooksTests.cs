using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests;

/// <summary>
/// The HTML part in a real browser, held to the axe rules (WCAG 2 A and AA, and best practices) in light
/// and dark, and to reflow at 320 CSS pixels (WCAG 2.2, 1.4.10). With TURFWATCH_LOOKS=folder in the
/// environment, pictures at 360 and 700 pixels are left there, to be looked at.
/// </summary>
public sealed class HtmlLooksTests(HtmlLooksTests.Chromium chromium)
    : IClassFixture<HtmlLooksTests.Chromium>
{
    private static readonly string? Looks = Environment.GetEnvironmentVariable("TURFWATCH_LOOKS");

    public static TheoryData<string, ColorScheme> Situations
    {
        get
        {
            var data = new TheoryData<string, ColorScheme>();
            foreach (var name in Samples.Notices.Keys.Concat(Samples.All.Keys))
            {
                data.Add(name, ColorScheme.Light);
                data.Add(name, ColorScheme.Dark);
            }

            return data;
        }
    }

    [Theory]
    [MemberData(nameof(Situations))]
    public async Task Axe_finds_nothing_and_nothing_scrolls_sideways(
        string name,
        ColorScheme scheme
    )
    {
        var browser = await chromium.BrowserAsync();
        await using var context = await browser.NewContextAsync(
            new() { ColorScheme = scheme, Offline = true }
        );
        var page = await context.NewPageAsync();
        var requests = new List<string>();
        page.Request += (_, request) => requests.Add(request.Url);
        var composer = TestComposer.Make();
        await page.SetContentAsync(
            Samples.Notices.TryGetValue(name, out var notice)
                ? composer.Render(notice, Samples.Reader.Id).Html
                : composer.Render(Samples.All[name], Samples.Reader).Html
        );

        var overflows = new List<string>();
        foreach (var width in new[] { 320, 360, 700 })
        {
            await page.SetViewportSizeAsync(width, 800);
            var overflow = await page.EvaluateAsync<int>(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth"
            );
            if (overflow > 0)
            {
                overflows.Add($"by {overflow} px at {width} px");
            }

            if (Looks is not null && width != 320)
            {
                await page.ScreenshotAsync(
                    new()
                    {
                        Path = Path.Combine(Looks, $"{name}-{width}-{scheme}.png"),
                        FullPage = true,
                    }
                );
            }
        }

        Assert.Empty(overflows);
        var axe = await page.RunAxe();
        Assert.True(
            axe.Violations.Length == 0,
            string.Join(
                '\n',
                axe.Violations.Select(v =>
                    $"{v.Id}: {v.Help} {string.Join(" | ", v.Nodes.Select(n => n.Html))}"
                )
            )
        );
        Assert.Contains(
            axe.Passes,
            p => string.Equals(p.Id, "color-contrast", StringComparison.Ordinal)
        );
        var smallest = await page.EvaluateAsync<double>(
            "Math.min(...[...document.querySelectorAll('body *')].filter(e => e.innerText && e.offsetParent).map(e => parseFloat(getComputedStyle(e).fontSize)))"
        );
        Assert.True(smallest >= 16, $"the smallest text of {name} is {smallest} px");
        Assert.Empty(requests);
    }

    /// <summary>One browser for the class.</summary>
    public sealed class Chromium : IAsyncLifetime
    {
        private IPlaywright? _playwright;
        private IBrowser? _browser;

        public ValueTask InitializeAsync() => ValueTask.CompletedTask;

        public async Task<IBrowser> BrowserAsync()
        {
            var path = Needs.Program("chromium", "chromium");
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

        public async ValueTask DisposeAsync()
        {
            if (_browser is not null)
            {
                await _browser.DisposeAsync();
            }

            _playwright?.Dispose();
        }
    }
}
