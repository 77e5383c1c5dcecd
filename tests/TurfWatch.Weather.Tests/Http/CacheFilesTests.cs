using Xunit;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>The files behind the cache: restarts, damage, no room.</summary>
public sealed class CacheFilesTests
{
    [Fact]
    public async Task Kept_answers_outlive_the_program()
    {
        await using var before = new Bench();
        before.Answer(Bench.Ok());
        await before.AskAsync();
        var url = before.Server.Url!;
        await using var after = new Bench((_, o) => o.BaseAddress = new(url), before.Folder);
        Assert.Equal(1.5, (await after.AskAsync()).Body.Value);
        Assert.Equal(1, before.Requests);
    }

    [Theory]
    [InlineData("")]
    [InlineData("not json at all")]
    [InlineData("{}\n")]
    [InlineData("null\n{\"value\":9}")]
    public async Task A_damaged_file_is_dropped_and_asked_for_again(string content)
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok());
        await bench.AskAsync();
        await File.WriteAllTextAsync(Kept(bench).Single(), content);
        Assert.Equal(1.5, (await bench.AskAsync()).Body.Value);
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task A_file_whose_body_was_cut_short_is_dropped()
    {
        await using var bench = new Bench();
        bench.Answer(Bench.Ok());
        await bench.AskAsync();
        var file = Kept(bench).Single();
        var bytes = await File.ReadAllBytesAsync(file);
        await File.WriteAllBytesAsync(file, bytes[..^3]);
        Assert.Equal(1.5, (await bench.AskAsync()).Body.Value);
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task Without_a_folder_to_write_to_the_answers_still_come()
    {
        var notAFolder = Path.GetTempFileName();
        await using var bench = new Bench((w, _) => w.CacheDirectory = notAFolder);
        bench.Answer(Bench.Ok());
        Assert.Equal(1.5, (await bench.AskAsync()).Body.Value);
        Assert.Equal(1.5, (await bench.AskAsync()).Body.Value);
        Assert.Equal(2, bench.Requests);
        File.Delete(notAFolder);
    }

    [Fact]
    public async Task Without_a_folder_named_nothing_is_kept()
    {
        await using var bench = new Bench((w, _) => w.CacheDirectory = "");
        bench.Answer(Bench.Ok());
        await bench.AskAsync();
        await bench.AskAsync();
        Assert.Equal(2, bench.Requests);
    }

    [Fact]
    public async Task The_folder_is_held_to_its_size_and_no_half_written_file_stays()
    {
        await using var bench = new Bench((w, _) => w.CacheMegabytes = 1);
        bench.Answer(Bench.Json($$"""{"value":1.5,"pad":"{{new string('x', 400_000)}}"}"""));
        for (var i = 0; i < 5; i++)
        {
            await bench.AskAsync($"{i}");
        }

        bench.Clock.Advance(TimeSpan.FromHours(7));
        await bench.AskAsync("newest");
        Assert.InRange(Kept(bench).Sum(f => new FileInfo(f).Length), 400_000, 1024 * 1024);
        Assert.Empty(Directory.EnumerateFiles(bench.Folder, "*.tmp", SearchOption.AllDirectories));
    }

    private static List<string> Kept(Bench bench) =>
        [.. Directory.EnumerateFiles(bench.Folder, "*.answer", SearchOption.AllDirectories)];
}
