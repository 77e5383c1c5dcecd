using Microsoft.Extensions.Time.Testing;
using Microsoft.Playwright;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Testing.Browser;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>
/// Every page in a real browser: the axe rules (WCAG 2.2 A and AA among them) find nothing in light and dark, nothing
/// scrolls sideways at 320 px (WCAG 1.4.10), forms work from the keyboard and without a script, and a browser that
/// runs scripts changes nothing by looking. With TURFWATCH_LOOKS=folder in the environment, pictures are left there.
/// </summary>
public sealed class PageLooksTests(TestBrowser browser) : IClassFixture<TestBrowser>, IDisposable
{
    private static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);
    private static readonly LocalDate Day = new(2026, 11, 25);
    private static readonly string? Looks = Environment.GetEnvironmentVariable("TURFWATCH_LOOKS");

    private readonly Scratch _scratch = new();
    private readonly FakeTimeProvider _clock = new(Start.ToDateTimeOffset());

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task Axe_finds_nothing_nothing_scrolls_sideways_and_looking_changes_nothing()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        var (who, links) = await LinksAsync(rig);
        var before = await HeldAsync(rig, who);
        var chromium = await browser.StartedAsync();
        await using var context = await chromium.NewContextAsync(
            new()
            {
                BaseURL = rig.Http.BaseAddress!.ToString(),
                // The pages allow no script; the checker is one.
                BypassCSP = true,
            }
        );
        var page = await context.NewPageAsync();
        foreach (var (name, link) in links)
        {
            await page.GotoAsync(link);
            await HoldAsync(page, name);
        }

        Assert.Equal(before, await HeldAsync(rig, who));
    }

    [Fact]
    public async Task Forms_work_from_the_keyboard_without_a_script_and_say_what_is_wrong_where_the_focus_is()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        var (who, links) = await LinksAsync(rig);
        var chromium = await browser.StartedAsync();
        await using var context = await chromium.NewContextAsync(
            new() { BaseURL = rig.Http.BaseAddress!.ToString(), BypassCSP = true }
        );
        var page = await context.NewPageAsync();

        await page.GotoAsync("/join");
        await page.FillAsync("#email", "pat@example");
        await page.FillAsync("#zip", "00000");
        await page.FillAsync("#area", "big");
        await FaultsAsync(page, "join-faults");

        await page.GotoAsync(links["settings"]);
        await page.FillAsync("#height", "tall");
        await page.FillAsync("#zone", "Mars/Base");
        await FaultsAsync(page, "settings-faults");

        await page.GotoAsync(links["entry"]);
        await page.FillAsync("#amount", "tall");
        await FaultsAsync(page, "entry-faults");
        await page.FillAsync("#amount", "2.5 in");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForSelectorAsync("text=Take this back");
        await HoldAsync(page, "entry-done");

        // From the top of the page to its one button with the tabulator alone.
        await page.GotoAsync(links["mowed"]);
        for (var i = 0; i < 5 && !await IsButtonAsync(page); i++)
        {
            await page.Keyboard.PressAsync("Tab");
        }

        await page.Keyboard.PressAsync("Enter");
        await page.WaitForSelectorAsync("text=Written down");
        await HoldAsync(page, "mowed-done");
        await page.GotoAsync(links["mowed"]);
        await HoldAsync(page, "mowed-already");

        // Each kind shows its own fields, and no other's, without a script.
        await page.GotoAsync(links["lawn"]);
        foreach (
            var (verb, shown) in new[]
            {
                ("mowed", "height"),
                ("fed", "product grade"),
                ("seeded", "seed grass"),
                ("germinated", "grass"),
                ("watered", "water"),
                ("soil", "soil at"),
                ("aerated", ""),
            }
        )
        {
            await page.SelectOptionAsync("#kind", verb);
            Assert.Equal(
                shown,
                string.Join(
                    ' ',
                    await page.EvaluateAsync<string[]>(
                        "[...document.querySelectorAll('.by-kind [class^=of-] :is(input, select)')].filter(e => e.checkVisibility()).map(e => e.id)"
                    )
                )
            );
            await HoldAsync(page, $"lawn-{verb}");
        }

        await page.SelectOptionAsync("#kind", "fed");
        await page.FillAsync("#product", "5 lb");
        await FaultsAsync(page, "write-faults");
        Assert.True(await page.IsVisibleAsync("#grade-fault"));
        await page.FillAsync("#grade", "21-0-0");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForSelectorAsync("text=Take this back");

        await page.GotoAsync(links["lawn"]);
        await page.FillAsync("#line", "should I mow?");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForSelectorAsync("[role=alert]");
        await HoldAsync(page, "say-not");

        await page.GotoAsync(links["calendar"]);
        await page.PressAsync("button", "Enter");
        await page.WaitForSelectorAsync("#address");
        await HoldAsync(page, "calendar-made");

        await page.GotoAsync(links["lawn"]);
        await page.FillAsync("#until", "2027-01-10");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForSelectorAsync("text=Done");
        await page.GotoAsync(links["lawn"]);
        await HoldAsync(page, "lawn-paused");

        await page.GotoAsync(links["fresh"]);
        await page.PressAsync("button", "Enter");
        await page.WaitForSelectorAsync("text=Now look into the mailbox");
        await HoldAsync(page, "fresh-sent");

        var record = await rig.Store.Journal.LoadAsync(who.Lawns[0].Id, Cancel);
        Assert.Contains(record.Entries, e => e.Date == Day && e.Kind == JournalKind.Mowed);
        Assert.Contains(record.Entries, e => e.Amount is > 6.34 and < 6.36);
    }

    private static Task<bool> IsButtonAsync(IPage page) =>
        page.EvaluateAsync<bool>("document.activeElement.tagName === 'BUTTON'");

    // What is wrong is told in a summary that has the focus; it needs no script.
    private static async Task FaultsAsync(IPage page, string name)
    {
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForSelectorAsync(".faults");
        await page.WaitForFunctionAsync("() => document.activeElement.className === 'faults'");
        await HoldAsync(page, name);
    }

    private static async Task HoldAsync(IPage page, string name)
    {
        foreach (
            var (width, scheme) in new[]
            {
                (320, ColorScheme.Dark),
                (320, ColorScheme.Light),
                (1280, ColorScheme.Dark),
                (1280, ColorScheme.Light),
            }
        )
        {
            await page.SetViewportSizeAsync(width, 800);
            await page.EmulateMediaAsync(new() { ColorScheme = scheme });
            var overflow = await AxeCheck.OverflowAsync(page);
            Assert.True(overflow <= 0, $"{name} scrolls sideways by {overflow} px at {width} px");
            if (Looks is not null)
            {
                await page.ScreenshotAsync(
                    new()
                    {
                        Path = Path.Combine(Looks, $"page-{name}-{width}-{scheme}.png"),
                        FullPage = true,
                    }
                );
            }

            // The layout is narrow or wide, the colors light or dark: each is judged once.
            if ((width == 320) == (scheme == ColorScheme.Dark))
            {
                await AxeCheck.HoldAsync(page, $"{name}, {width} px, {scheme}");
            }
        }
    }

    private static async Task<(SubscriberLawns Who, Dictionary<string, string> Links)> LinksAsync(
        ServiceRig rig
    )
    {
        var place = ZipDirectory.Lookup("85719").Place!;
        await TownWeather.KeepAsync(rig, place, Start);
        var who = (
            await rig.Store.Subscribers.AddAsync(
                "pat@example.org",
                new Lawn
                {
                    Place = place,
                    Grass = GrassKind.Bermuda,
                    Overseed = GrassKind.PerennialRyegrass,
                    Name = "Averylongnamewithoutasinglespacetobreakitat",
                    AreaM2 = 278.70912,
                    MowDays = [IsoDayOfWeek.Saturday],
                },
                Cancel
            )
        )!;
        var id = who.Lawns[0].Id;
        var mowed = await rig.Store.Journal.AddAsync(
            id,
            new(0, JournalKind.Mowed, new(2026, 11, 20), 5),
            Cancel
        );
        await rig.Store.Journal.AddAsync(
            id,
            new(0, JournalKind.Seeded, new(2026, 10, 6), 48.8)
            {
                Grass = GrassKind.PerennialRyegrass,
            },
            Cancel
        );
        var pending = await rig.Store.Joins.AskAsync(
            "sam@example.org",
            new Lawn { Place = place, Grass = GrassKind.Bermuda },
            Cancel
        );
        var week = Start + Duration.FromDays(7);
        var lawn = "/lawn/" + rig.Tokens.Issue(LinkPurpose.LawnPage, id, week);
        var older =
            "/lawn/" + rig.Tokens.Issue(LinkPurpose.LawnPage, id, week - Duration.FromHours(3));
        return (
            who,
            new(StringComparer.Ordinal)
            {
                ["lawn"] = lawn,
                ["settings"] = lawn + "/settings",
                ["erase"] = lawn + "/erase",
                ["calendar"] = lawn + "/calendar",
                ["entry"] = $"{lawn}/entry/{mowed.Id}",
                ["entry-gone"] = $"{lawn}/entry/999",
                ["fresh"] = older + "/export",
                ["join"] = "/join",
                ["confirm"] =
                    "/join/" + rig.Tokens.Issue(LinkPurpose.Confirm, pending.Who!.Subscriber.Id),
                ["undo"] = "/undo/" + rig.Tokens.Issue(LinkPurpose.Undo, 1),
                ["rejoin"] = "/rejoin/" + rig.Tokens.Issue(LinkPurpose.Rejoin, who.Subscriber.Id),
                ["leave"] = "/u/" + rig.Tokens.Issue("unsubscribe", who.Subscriber.Id),
                ["mowed"] =
                    "/done/" + rig.Tokens.Issue(new(JournalKind.Mowed, Day, 6.35), id, week),
                ["watered"] =
                    "/done/" + rig.Tokens.Issue(new(JournalKind.Watered, Day, 12.7), id, week),
                ["skipped"] =
                    "/done/"
                    + rig.Tokens.Issue(new(JournalKind.MowingSkipped, Day, null), id, week),
                ["fed-late"] =
                    "/done/"
                    + rig.Tokens.Issue(
                        new(JournalKind.Fed, Day.PlusDays(-5), 2.44) { Grade = new(21, 0, 0) },
                        id,
                        week
                    ),
                ["nowhere"] = "/nowhere",
            }
        );
    }

    private static async Task<string> HeldAsync(ServiceRig rig, SubscriberLawns who)
    {
        var owned = (await rig.Store.Lawns.FindAsync(who.Lawns[0].Id, Cancel))!;
        var record = await rig.Store.Journal.LoadAsync(who.Lawns[0].Id, Cancel);
        var rows = 0;
        await foreach (var row in rig.Store.Outbox.ListAsync(Cancel))
        {
            rows += row.Kind is MessageKind.Receipt or MessageKind.Confirmation ? 1 : 0;
        }

        return $"{owned.Subscriber} {owned.PausedUntil} {string.Join('|', record.Entries)} {rows}";
    }
}
