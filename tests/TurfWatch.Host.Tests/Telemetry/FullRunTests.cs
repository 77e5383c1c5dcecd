using System.Net;
using System.Text.RegularExpressions;
using Xunit;

namespace TurfWatch.Host.Tests.Telemetry;

/// <summary>What the service tells of itself after a day of everything: enough, and nothing about a person.</summary>
public sealed partial class FullRunTests(FullRun run)
{
    public static TheoryData<string> Samples =>
        [
            "turfwatch_messages_total{kind=\"morning\",result=\"sent\"} 1",
            "turfwatch_messages_total{kind=\"morning\",result=\"dead\"} 1",
            "turfwatch_messages_total{kind=\"morning\",result=\"unknown\"} 1",
            "turfwatch_messages_total{kind=\"confirmation\",result=\"sent\"} 1",
            "turfwatch_messages_made_total{kind=\"morning\"} 4",
            "turfwatch_unknown_total 1",
            "turfwatch_smtp_replies_total{class=\"5xx\"} 1",
            "turfwatch_outbox_rows{state=\"dead\"} 1",
            "turfwatch_outbox_rows{state=\"unknown\"} 1",
            "turfwatch_unsubscribes_total{door=\"link\"} 1",
            "turfwatch_unsubscribes_total{door=\"mail\"} 1",
            "turfwatch_signups_total{result=\"asked\"} 1",
            "turfwatch_signups_total{result=\"confirmed\"} 1",
            "turfwatch_inbound_total{result=\"person\"} 3",
            "turfwatch_inbound_total{result=\"robot\"} 1",
            "turfwatch_trouble{area=\"weather\"} 0",
            "turfwatch_send_latency_seconds_count{kind=\"morning\"} 1",
        ];

    public static TheoryData<string> Series =>
        [
            "turfwatch_smtp_replies_total{class=\"4xx\"}",
            "turfwatch_weather_requests_total{origin=\"nws\",result=\"ok\"}",
            "turfwatch_weather_data_age_seconds",
            "turfwatch_outbox_oldest_due_seconds",
            "turfwatch_sweep_last_success_timestamp_seconds{sweep=\"deliver\"}",
            "turfwatch_sweep_last_success_timestamp_seconds{sweep=\"morning\"}",
            "turfwatch_send_latency_seconds_bucket{kind=\"morning\",le=\"300\"}",
        ];

    [Theory]
    [MemberData(nameof(Samples))]
    public async Task The_metrics_count_what_happened(string sample)
    {
        var told = await run.ToldAsync();

        Assert.Contains(sample, Lines(told.Scrape));
    }

    [Theory]
    [MemberData(nameof(Series))]
    public async Task The_metrics_have_a_series(string series)
    {
        var told = await run.ToldAsync();

        Assert.Contains(
            Lines(told.Scrape),
            line => line.StartsWith(series + " ", StringComparison.Ordinal)
        );
    }

    [Fact]
    public async Task No_metric_names_a_person_or_a_place()
    {
        var told = await run.ToldAsync();
        // The names of the runtime's own counters have numbers of their own.
        var ours = Lines(told.Scrape)
            .Where(l => l.StartsWith("turfwatch_", StringComparison.Ordinal))
            .ToList();

        Assert.NotEmpty(ours);
        Assert.DoesNotContain('@', told.Scrape);
        Assert.DoesNotContain("example", told.Scrape, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("85719", told.Scrape, StringComparison.Ordinal);
        Assert.All(
            LabelForm().Matches(string.Join('\n', ours)),
            label =>
                Assert.Contains(
                    label.Groups[1].Value,
                    (string[])
                        [
                            "kind",
                            "result",
                            "class",
                            "state",
                            "door",
                            "area",
                            "sweep",
                            "origin",
                            "le",
                        ]
                )
        );
    }

    [Fact]
    public async Task Metrics_are_not_at_the_public_address_nor_pages_at_that_of_the_metrics()
    {
        var told = await run.ToldAsync();

        Assert.Equal(HttpStatusCode.NotFound, told.MetricsOnPublic);
        Assert.Equal(HttpStatusCode.NotFound, told.PageOnMetrics);
    }

    [Fact]
    public async Task The_log_holds_no_address_and_no_secret()
    {
        var told = await run.ToldAsync();

        foreach (var text in new[] { told.Log, told.Otlp })
        {
            Assert.DoesNotContain(FullRun.RelaySecret, text, StringComparison.Ordinal);
            Assert.DoesNotContain(FullRun.InboxSecret, text, StringComparison.Ordinal);
            // A token in a link or an address lets its bearer act for someone.
            Assert.Empty(TokenForm().Matches(text).Select(m => m.Value));
        }

        Assert.Empty(AddressForm().Matches(told.Log).Select(m => m.Value));
        foreach (var name in new[] { "kept", "gone", "slow", "lost", "ann", "bob" })
        {
            Assert.DoesNotContain($"{name}@", told.Log + told.Otlp, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Each_attempt_is_one_event_with_row_and_message_id()
    {
        var told = await run.ToldAsync();
        var attempts = AttemptForm().Matches(told.Log);

        foreach (var id in told.Taken)
        {
            var own = attempts.Where(a => a.Groups["mid"].Value == id.Split('@')[0]);
            Assert.Contains(own, a => a.Groups["became"].Value == "sent");
        }

        Assert.Contains(attempts, a => a.Groups["became"].Value == "refused for good");
        Assert.Contains(attempts, a => a.Groups["became"].Value == "refused for now");
        Assert.Contains(attempts, a => a.Groups["became"].Value == "taken or not, nobody knows");
    }

    [Theory]
    [InlineData("fetch")]
    [InlineData("assess")]
    [InlineData("enqueue")]
    [InlineData("deliver")]
    [InlineData("turfwatch.outbox.id")]
    public async Task Traces_reach_the_collector(string word)
    {
        var told = await run.ToldAsync();

        Assert.Contains("v1/traces: ", told.Otlp, StringComparison.Ordinal);
        Assert.Contains("v1/logs: ", told.Otlp, StringComparison.Ordinal);
        Assert.Contains("v1/metrics: ", told.Otlp, StringComparison.Ordinal);
        Assert.Contains(word, told.Otlp, StringComparison.Ordinal);
    }

    /// <summary>Lines of a scrape without the label that names the meter, which Prometheus need not know.</summary>
    internal static IReadOnlyList<string> Lines(string scrape) =>
        [
            .. scrape
                .Split('\n')
                .Where(l => !l.StartsWith('#'))
                .Select(l => ScopeForm().Replace(l, "").Replace("{}", "", StringComparison.Ordinal))
                // Version 0.0.4 of the format lets a sample have its time.
                .Select(l => string.Join(' ', l.Split(' ').Take(2))),
        ];

    [GeneratedRegex("otel_scope_name=\"[^\"]*\",?", RegexOptions.None, 1000)]
    private static partial Regex ScopeForm();

    [GeneratedRegex("[{,]([a-z_]+)=\"", RegexOptions.None, 1000)]
    private static partial Regex LabelForm();

    [GeneratedRegex(@"[\w.+%-]+@[\w-]+\.[\w.]+", RegexOptions.None, 1000)]
    private static partial Regex AddressForm();

    [GeneratedRegex(@"/(?:u|join|undo|rejoin|lawn)/[\w.-]{12,}|lawn\+\w+", RegexOptions.None, 1000)]
    private static partial Regex TokenForm();

    [GeneratedRegex(
        @"Message (?<id>\d+) \((?<mid>[^,]+), (?<kind>\w+)\) to \S+, attempt \d+: (?<became>[^:]+): ",
        RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex AttemptForm();
}
