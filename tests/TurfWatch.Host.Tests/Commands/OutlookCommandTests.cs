using System.Text.Json;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Host.Tests.Jobs;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>The season of a lawn on the command line, from the answers of a weather service of our own.</summary>
public sealed class OutlookCommandTests : IDisposable
{
    private static readonly Instant Now = Instant.FromUtc(2026, 9, 26, 14, 0);

    private readonly Scratch _scratch = new();
    private readonly StubWeather _weather = new(ZipDirectory.Lookup("85719").Place!, Now);

    public void Dispose()
    {
        _weather.Dispose();
        _scratch.Dispose();
    }

    [Fact]
    public async Task Outlook_tells_each_window_with_its_dates_and_on_what_they_rest()
    {
        var told = await RunAsync(
            "outlook --zip 85719 --grass bermuda --overseed annual-ryegrass --irrigated yes"
        );

        Assert.Equal((0, ""), (told.Exit, Complaints(told)));
        Assert.Contains("Tucson, AZ 85719: the season on 2026-09-26", told.Out, Ordinal);
        Assert.Contains("days of forecast and 20 past years", told.Out, Ordinal);
        Assert.Contains("Overseed", told.Out, Ordinal);
        Assert.Contains("  opens ", told.Out, Ordinal);
        Assert.Contains("Climate: NASA POWER", told.Out, Ordinal);
    }

    [Fact]
    public async Task Outlook_as_json_has_iso_dates()
    {
        var told = await RunAsync(
            "outlook --zip 85719 --grass bermuda --overseed annual-ryegrass --json"
        );

        using var json = JsonDocument.Parse(told.Out);
        Assert.Equal("2026-09-26", json.RootElement.GetProperty("date").GetString());
        Assert.Equal("this-year", json.RootElement.GetProperty("basis").GetString());
        Assert.Equal(20, json.RootElement.GetProperty("pastYears").GetInt32());
        var overseed = json
            .RootElement.GetProperty("windows")
            .EnumerateArray()
            .Single(w => w.GetProperty("key").GetString()!.StartsWith("Overseed:2026", Ordinal));
        Assert.Equal(20, overseed.GetProperty("opens").GetProperty("courses").GetInt32());
    }

    [Fact]
    public async Task Preview_writes_a_digest_that_names_its_lawn()
    {
        var told = await RunAsync("preview --zip 85719 --grass bermuda --kind digest");

        Assert.Equal((0, ""), (told.Exit, Complaints(told)));
        foreach (var ending in new[] { ".txt", ".html", ".eml" })
        {
            var file = Path.Combine(
                _scratch.Folder,
                "out/preview/85719-2026-09-26-digest" + ending
            );
            Assert.Contains(
                "Tucson",
                await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken),
                Ordinal
            );
        }
    }

    [Fact]
    public async Task Preview_of_alerts_writes_each_or_says_that_there_is_none()
    {
        var told = await RunAsync(
            "preview --zip 85719 --grass bermuda --overseed annual-ryegrass --alerts no --kind alert"
        );

        Assert.Equal((0, ""), (told.Exit, Complaints(told)));
        Assert.True(
            told.Out.Contains("-alert", Ordinal)
                || told.Out.Contains("no alert would be sent", Ordinal),
            told.Out
        );
    }

    private static StringComparison Ordinal => StringComparison.Ordinal;

    /// <summary>What is on standard error beside the progress.</summary>
    private static string Complaints(CliAnswer answer) =>
        string.Join("", answer.Error.Split('\n').Where(line => !line.TrimEnd().EndsWith('%')))
            .Trim();

    private Task<CliAnswer> RunAsync(string line)
    {
        var config = _scratch.Write(
            "stub.json",
            $$"""
            {
              "Weather": {
                "Contact": "ops@example.org", "CacheDirectory": "{{_scratch.Folder}}/cache",
                "Nws": { "BaseAddress": "{{_weather.Url}}" },
                "NasaPower": { "BaseAddress": "{{_weather.Url}}" }
              }
            }
            """
        );
        return Cli.RunAsync(
            _scratch,
            new FakeTimeProvider(Now.ToDateTimeOffset()),
            [.. line.Split(' '), "--config", config]
        );
    }
}
