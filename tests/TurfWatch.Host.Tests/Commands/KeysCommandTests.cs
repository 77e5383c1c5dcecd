using Microsoft.Extensions.Time.Testing;
using TurfWatch.Mail;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class KeysCommandTests : IDisposable
{
    private readonly Scratch _scratch = new();
    private readonly FakeTimeProvider _clock = new(new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));

    private string Data => Path.Combine(_scratch.Folder, "data");

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task A_key_is_changed_and_the_old_one_ends_when_no_promised_link_needs_it()
    {
        var before = LinkTokens.Open(Data).Issue("unsubscribe", 5);
        var first = LinkKeyFile.List(Data)[0].Id;

        var rotated = await RunAsync("keys rotate");
        Assert.True(rotated.Exit == 0, rotated.Error);
        var listed = await RunAsync("keys list");
        Assert.Contains($"{first}  verifies ", listed.Out, StringComparison.Ordinal);
        Assert.Contains("need it until 2026-12-30T12:00:00Z", listed.Out, StringComparison.Ordinal);

        _clock.Advance(TimeSpan.FromDays(34));
        var tooSoon = await RunAsync($"keys retire --id {first}");
        Assert.Equal(2, tooSoon.Exit);
        Assert.Contains("lean until 2026-12-30T12:00:00Z", tooSoon.Error, StringComparison.Ordinal);
        Assert.True(LinkTokens.Open(Data).TryRead("unsubscribe", before, out _));

        _clock.Advance(TimeSpan.FromDays(2));
        var retired = await RunAsync($"keys retire --id {first}");
        Assert.True(retired.Exit == 0, retired.Error);
        Assert.False(LinkTokens.Open(Data).TryRead("unsubscribe", before, out _));
    }

    [Fact]
    public async Task A_key_that_was_seen_is_retired_at_once_when_the_operator_says_so()
    {
        LinkTokens.Open(Data);
        var first = LinkKeyFile.List(Data)[0].Id;
        await RunAsync("keys rotate");

        var retired = await RunAsync($"keys retire --id {first} --though-links-need-it");
        Assert.True(retired.Exit == 0, retired.Error);
        var listed = await RunAsync("keys list --json");
        Assert.Contains("\"use\": \"names-only\"", listed.Out, StringComparison.Ordinal);
        var again = await RunAsync($"keys retire --id {first} --though-links-need-it");
        Assert.Equal(2, again.Exit);
        Assert.Contains("ended before", again.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Each_misuse_is_told()
    {
        var none = await RunAsync("keys list");
        Assert.Equal(1, none.Exit);
        Assert.Contains("There is no key file", none.Error, StringComparison.Ordinal);

        LinkTokens.Open(Data);
        var signing = await RunAsync($"keys retire --id {LinkKeyFile.List(Data)[0].Id}");
        Assert.Equal(2, signing.Exit);
        Assert.Contains("keys rotate' first", signing.Error, StringComparison.Ordinal);
        var nosuch = await RunAsync("keys retire --id nosuch");
        Assert.Equal(2, nosuch.Exit);
        Assert.Contains("no key of the file", nosuch.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_root_changes_stays_the_services()
    {
        Needs.That(
            Environment.IsPrivilegedProcess,
            "only root can give files away: run it as root"
        );
        LinkTokens.Open(Data);
        Processes.Run("chown", "-R", "4711:4712", Data);
        await RunAsync("keys rotate");
        Assert.Equal(
            0,
            Processes.Run("sh", "-c", $"test $(stat -c %u:%g {Data}/link-keys) = 4711:4712")
        );
    }

    [Fact]
    public async Task No_key_is_ever_printed()
    {
        LinkTokens.Open(Data);
        await RunAsync("keys rotate");
        var all = (await RunAsync("keys list")).Out + (await RunAsync("keys list --json")).Out;
        foreach (var line in File.ReadLines(Path.Combine(Data, LinkTokens.FileName)))
        {
            Assert.DoesNotContain(line.Split(' ')[1], all, StringComparison.Ordinal);
        }
    }

    private Task<CliAnswer> RunAsync(string line) =>
        Cli.RunAsync(_scratch, _clock, [.. line.Split(' '), "--config", Cli.Config(_scratch)]);
}
