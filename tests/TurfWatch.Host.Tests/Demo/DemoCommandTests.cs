using TurfWatch.Host.Tests.Commands;
using Xunit;

namespace TurfWatch.Host.Tests.Demo;

public sealed class DemoCommandTests : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task Five_days_give_mornings_and_digests_that_the_pages_link_to()
    {
        var answer = await Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            "demo",
            "--days",
            "5",
            "--out",
            "d"
        );
        var folder = Path.Combine(_scratch.Folder, "d");
        var index = await File.ReadAllTextAsync(Path.Combine(folder, "index.html"));
        var pages = Directory.GetFiles(folder, "2025-*.html", SearchOption.AllDirectories);

        Assert.Equal(0, answer.Exit);
        Assert.StartsWith(
            $"{pages.Length} messages written.",
            answer.Out,
            StringComparison.Ordinal
        );
        // From 1 October 2025, a Wednesday: five mornings, a Saturday and a Sunday digest.
        var names = pages.Select(Path.GetFileNameWithoutExtension).ToList();
        Assert.Equal(15, names.Count(n => n!.Length == "2025-10-01".Length));
        Assert.Equal(
            ["2025-10-04-digest", "2025-10-04-digest", "2025-10-05-digest"],
            names.Where(n => n!.EndsWith("digest", StringComparison.Ordinal)).Order()
        );
        Assert.True(File.Exists(Path.Combine(folder, "summary.html")));
        foreach (var page in pages)
        {
            var household = Path.GetDirectoryName(page)!;
            var season = await File.ReadAllTextAsync(Path.Combine(household, "index.html"));
            Assert.Contains($"href=\"{Path.GetFileName(page)}\"", season, StringComparison.Ordinal);
            Assert.Contains(
                $"href=\"{Path.GetFileName(household)}/index.html\"",
                index,
                StringComparison.Ordinal
            );
            Assert.True(File.Exists(Path.ChangeExtension(page, ".eml")));
            Assert.NotEmpty(await File.ReadAllTextAsync(Path.ChangeExtension(page, ".txt")));
            Assert.DoesNotContain(
                "cid:",
                await File.ReadAllTextAsync(page),
                StringComparison.Ordinal
            );
        }
    }
}
