using Deque.AxeCore.Playwright;
using Microsoft.Extensions.Time.Testing;
using Microsoft.Playwright;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Testing;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>Every page in a real browser: the axe rules (WCAG 2.2 A and AA among them) find nothing, nothing scrolls sideways at 320 px (WCAG 1.4.10).</summary>
public sealed class PageLooksTests : IDisposable
{
    private static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);

    private readonly Scratch _scratch = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    [Theory]
    [InlineData(320, ColorScheme.Dark)]
    [InlineData(1280, ColorScheme.Light)]
    public async Task Axe_finds_nothing_and_nothing_scrolls_sideways(int width, ColorScheme scheme)
    {
        await using var rig = await ServiceRig.StartAsync(
            _scratch,
            new FakeTimeProvider(Start.ToDateTimeOffset())
        );
        var links = await LinksAsync(rig);
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await playwright.Chromium.LaunchAsync(
            new()
            {
                ExecutablePath = Needs.Program("chromium", "chromium"),
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
        await using var context = await browser.NewContextAsync(
            new()
            {
                ViewportSize = new() { Width = width, Height = 800 },
                ColorScheme = scheme,
                // The pages allow no script; the checker is one.
                BypassCSP = true,
            }
        );
        var page = await context.NewPageAsync();
        foreach (var link in links)
        {
            await page.GotoAsync(new Uri(rig.Http.BaseAddress!, link).ToString());
            await HoldAsync(page, link);
        }

        // What is wrong is told in a summary that has the focus; it needs no script.
        await page.GotoAsync(new Uri(rig.Http.BaseAddress!, "/join").ToString());
        await page.FillAsync("#email", "pat@example");
        await page.FillAsync("#zip", "00000");
        await page.FillAsync("#area", "big");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForSelectorAsync(".faults");
        Assert.True(
            await page.EvaluateAsync<bool>("document.activeElement.className === 'faults'")
        );
        await HoldAsync(page, "/join with faults");
    }

    private static async Task HoldAsync(IPage page, string link)
    {
        var axe = await page.RunAxe();
        Assert.True(
            axe.Violations.Length == 0,
            link
                + string.Join(
                    '\n',
                    axe.Violations.Select(v =>
                        $"{v.Id}: {v.Help} {string.Join(" | ", v.Nodes.Select(n => n.Html))}"
                    )
                )
        );
        Assert.True(
            await page.EvaluateAsync<bool>(
                "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
            ),
            $"{link} scrolls sideways"
        );
    }

    private static async Task<string[]> LinksAsync(ServiceRig rig)
    {
        var place = ZipDirectory.Lookup("85719").Place!;
        var who = await rig.Store.Subscribers.AddAsync(
            "pat@example.org",
            new Lawn
            {
                Place = place,
                Grass = GrassKind.Bermuda,
                Overseed = GrassKind.PerennialRyegrass,
                Name = "Averylongnamewithoutasinglespacetobreakitat",
            },
            Cancel
        );
        var id = who!.Lawns[0].Id;
        await rig.Store.Journal.AddAsync(
            id,
            new(0, JournalKind.Mowed, new(2026, 11, 20), 5),
            Cancel
        );
        var pending = await rig.Store.Joins.AskAsync(
            "sam@example.org",
            new Lawn { Place = place, Grass = GrassKind.Bermuda },
            Cancel
        );
        var lawn = "/lawn/" + rig.Tokens.Issue(LinkPurpose.LawnPage, id);
        return
        [
            lawn,
            lawn + "/settings",
            lawn + "/erase",
            "/join",
            "/join/" + rig.Tokens.Issue(LinkPurpose.Confirm, pending.Who!.Subscriber.Id),
            "/undo/" + rig.Tokens.Issue(LinkPurpose.Undo, 1),
            "/rejoin/" + rig.Tokens.Issue(LinkPurpose.Rejoin, who.Subscriber.Id),
            "/u/" + rig.Tokens.Issue("unsubscribe", who.Subscriber.Id),
            "/nowhere",
        ];
    }
}
