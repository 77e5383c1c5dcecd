using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using System.Text.RegularExpressions;
using TurfWatch.Host.Tests.Commands;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Telemetry;

/// <summary>Metrics and logs as an operator sets them up.</summary>
public sealed partial class MetricsPageTests(FullRun run) : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task The_page_on_metrics_and_a_scrape_name_the_same_metrics()
    {
        var told = await run.ToldAsync();
        var page = await File.ReadAllTextAsync(
            Path.Combine(Repository.Root, "docs/metrics.md"),
            TestContext.Current.CancellationToken
        );

        Assert.Equal(
            NameForm()
                .Matches(page)
                .Select(m => m.Groups[1].Value)
                .Order(StringComparer.Ordinal)
                .Distinct(StringComparer.Ordinal),
            Names(told.Scrape)
        );
    }

    [Theory]
    [InlineData("127.0.0.1:9464", "Metrics:Listen is '127.0.0.1:9464'; write an address such as")]
    [InlineData("http://127.0.0.1:5080", "the port of the public pages (Web:Listen)")]
    public async Task A_wrong_address_is_told_with_what_to_write(string listen, string told)
    {
        var config = Cli.Config(_scratch, $"\"Metrics\": {{ \"Listen\": \"{listen}\" }}");

        var answer = await Cli.RunAsync(_scratch, TimeProvider.System, "serve", "--config", config);

        Assert.Equal(2, answer.Exit);
        Assert.Contains(told, answer.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_that_is_taken_is_told_by_its_key()
    {
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        var port = ((IPEndPoint)taken.LocalEndpoint).Port;
        var config = Cli.Config(
            _scratch,
            $"\"Web\": {{ \"Listen\": \"http://127.0.0.1:0\" }}, \"Metrics\": {{ \"Listen\": \"http://127.0.0.1:{port}\" }}"
        );

        var answer = await Cli.RunAsync(_scratch, TimeProvider.System, "serve", "--config", config);

        Assert.Equal(1, answer.Exit);
        Assert.Contains(
            $"Metrics:Listen is 'http://127.0.0.1:{port}', but something else listens there",
            answer.Error,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task With_the_JSON_option_each_line_of_the_log_is_a_JSON_object()
    {
        using var folder = new ScratchFolder();
        await using var service = ServeProcess.Start(folder.Path, ("Log:Json", "true"));
        await service.UntilReadySaysAsync(t => t.Length > 0);
        await service.StopAsync();

        var lines = service.Log.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.NotEmpty(lines);
        Assert.All(
            lines,
            line =>
            {
                using var json = JsonDocument.Parse(line);
                Assert.Equal(
                    JsonValueKind.String,
                    json.RootElement.GetProperty("Message").ValueKind
                );
            }
        );
    }

    [Theory]
    [InlineData("to ann@example.com: ok", "to a***@e***: ok")]
    [InlineData("<ann+lawn@mail.example.com> unknown", "<a***@m***> unknown")]
    [InlineData("jörg@bücher.example is full", "j***@b*** is full")]
    [InlineData("mailto:ann%40example.com", "mailto:***")]
    [InlineData("already an***@example.com", "already a***@e***")]
    [InlineData("turfwatch@.service, a @ b, 5 @ 3", "turfwatch@.service, a @ b, 5 @ 3")]
    public void An_address_in_a_text_is_masked(string text, string masked) =>
        Assert.Equal(masked, AddressMask.In(text));

    /// <summary>Names of our metrics in a scrape, as Prometheus' HELP and TYPE lines have them.</summary>
    internal static IEnumerable<string> Names(string scrape) =>
        TypeForm()
            .Matches(scrape)
            .Select(m => m.Groups[1].Value)
            .Distinct(StringComparer.Ordinal)
            .Order(StringComparer.Ordinal);

    [GeneratedRegex(@"^\| `(turfwatch_[a-z_]+)`", RegexOptions.Multiline, 1000)]
    private static partial Regex NameForm();

    [GeneratedRegex(@"^# TYPE (turfwatch_[a-z_]+) ", RegexOptions.Multiline, 1000)]
    private static partial Regex TypeForm();
}
