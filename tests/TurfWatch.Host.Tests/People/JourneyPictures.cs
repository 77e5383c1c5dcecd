using Microsoft.Playwright;
using MimeKit;
using TurfWatch.Testing;

namespace TurfWatch.Host.Tests.People;

/// <summary>
/// Pictures of the messages and pages of a run, as a phone shows them, for docs/journey.md: tests/journey-pictures asks
/// for them. Without a folder in the environment nothing is drawn.
/// </summary>
internal sealed class JourneyPictures
{
    public const string Variable = "TURFWATCH_JOURNEY_PICTURES";

    // A page of the docs shows the upper part of what is longer.
    private const int Width = 390;
    private const int Tallest = 1000;

    private readonly string? _folder = Environment.GetEnvironmentVariable(Variable);
    private readonly List<(string Name, string Html)> _taken = [];

    public void Take(string name, MimeMessage message) => Take(name, message.HtmlBody ?? "");

    public void Take(string name, string html)
    {
        if (_folder is not null)
        {
            _taken.Add((name, html));
        }
    }

    public async Task DrawAsync()
    {
        if (_folder is null)
        {
            return;
        }

        using var playwright = await Playwright.CreateAsync();
        await using var browser = await playwright.Chromium.LaunchAsync(
            new()
            {
                ExecutablePath = Needs.Program("chromium", "chromium"),
                Args =
                [
                    "--no-sandbox",
                    "--disable-gpu",
                    "--no-first-run",
                    "--disable-background-networking",
                ],
            }
        );
        await using var context = await browser.NewContextAsync(
            new()
            {
                ViewportSize = new() { Width = Width, Height = 600 },
                ColorScheme = ColorScheme.Light,
            }
        );
        var page = await context.NewPageAsync();
        foreach (var (name, html) in _taken)
        {
            await page.SetContentAsync(html);
            var height = await page.EvaluateAsync<int>("document.documentElement.scrollHeight");
            await page.ScreenshotAsync(
                new()
                {
                    Path = Path.Combine(_folder, $"journey-{name}.png"),
                    FullPage = true,
                    Clip = new()
                    {
                        X = 0,
                        Y = 0,
                        Width = Width,
                        Height = Math.Min(height, Tallest),
                    },
                }
            );
        }
    }
}
