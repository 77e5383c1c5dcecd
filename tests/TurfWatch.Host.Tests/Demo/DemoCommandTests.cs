using TurfWatch.Host.Tests.Commands;
using Xunit;

namespace TurfWatch.Host.Tests.Demo;

public sealed class DemoCommandTests : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task Five_days_give_fifteen_messages_that_the_index_links_to()
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
        Assert.StartsWith("15 messages written.", answer.Out, StringComparison.Ordinal);
        Assert.Equal(15, pages.Length);
        Assert.True(File.Exists(Path.Combine(folder, "summary.html")));
        foreach (var page in pages)
        {
            var link = Path.GetRelativePath(folder, page);
            Assert.Contains($"href=\"{link}\"", index, StringComparison.Ordinal);
            Assert.True(File.Exists(Path.ChangeExtension(page, ".eml")));
            Assert.NotEmpty(await File.ReadAllTextAsync(Path.ChangeExtension(page, ".txt")));
        }
    }
}
