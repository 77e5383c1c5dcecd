using Microsoft.Playwright;
using TurfWatch.Testing.Browser;

namespace TurfWatch.Mail.Tests;

/// <summary>
/// The HTML part in a real browser, held to the axe rules (WCAG 2 A and AA, and best practices) in light
/// and dark, and to reflow at 320 CSS pixels (WCAG 2.2, 1.4.10). With TURFWATCH_LOOKS=folder in the
/// environment, pictures at 360 and 700 pixels are left there, to be looked at.
/// </summary>
public sealed class HtmlLooksTests(TestBrowser browser) : IClassFixture<TestBrowser>
{
    private static readonly string? Looks = Environment.GetEnvironmentVariable("TURFWATCH_LOOKS");

    public static TheoryDataRow<string>[] Situations =>
        [
            .. Samples
                .Notices.Keys.Concat(Samples.All.Keys)
                .Select(name => new TheoryDataRow<string>(name)),
        ];

    [Theory]
    [MemberData(nameof(Situations))]
    public async Task Axe_finds_nothing_and_nothing_scrolls_sideways(string name)
    {
        var chromium = await browser.StartedAsync();
        await using var context = await chromium.NewContextAsync(new() { Offline = true });
        var page = await context.NewPageAsync();
        var requests = new List<string>();
        page.Request += (_, request) => requests.Add(request.Url);
        var composer = TestComposer.Make();
        await page.SetContentAsync(
            Samples.Notices.TryGetValue(name, out var notice)
                ? composer.Render(notice, Samples.Reader.Id).Html
                : composer.Render(Samples.All[name], Samples.Reader).Html
        );
        foreach (var scheme in new[] { ColorScheme.Light, ColorScheme.Dark })
        {
            await page.EmulateMediaAsync(new() { ColorScheme = scheme });
            await HoldAsync(page, name, scheme);
        }

        var smallest = await page.EvaluateAsync<double>(
            "Math.min(...[...document.querySelectorAll('body *')].filter(e => e.innerText && e.offsetParent).map(e => parseFloat(getComputedStyle(e).fontSize)))"
        );
        Assert.True(smallest >= 16, $"the smallest text of {name} is {smallest} px");
        Assert.Empty(requests);
    }

    [Fact]
    public async Task The_checker_sees_what_is_faint_in_the_dark_alone()
    {
        var chromium = await browser.StartedAsync();
        await using var context = await chromium.NewContextAsync(new() { Offline = true });
        var page = await context.NewPageAsync();
        await page.SetContentAsync(
            "<!doctype html><html lang=en><title>t</title><style>body{background:#fff;color:#000} @media (prefers-color-scheme: dark){body{background:#222;color:#444}}</style><main><h1>Faint</h1></main>"
        );
        await page.EmulateMediaAsync(new() { ColorScheme = ColorScheme.Light });
        await AxeCheck.HoldAsync(page, "light");
        await page.EmulateMediaAsync(new() { ColorScheme = ColorScheme.Dark });
        var found = await Assert.ThrowsAnyAsync<Xunit.Sdk.XunitException>(() =>
            AxeCheck.HoldAsync(page, "dark")
        );
        Assert.Contains("color-contrast", found.Message, StringComparison.Ordinal);
    }

    private static async Task HoldAsync(IPage page, string name, ColorScheme scheme)
    {
        foreach (var width in new[] { 320, 360, 700 })
        {
            await page.SetViewportSizeAsync(width, 800);
            var overflow = await AxeCheck.OverflowAsync(page);
            Assert.True(overflow <= 0, $"{name} scrolls by {overflow} px at {width} px");
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

        await AxeCheck.HoldAsync(page, $"{name}, {scheme}");
    }
}
