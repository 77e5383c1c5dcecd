using System.Text.RegularExpressions;
using TurfWatch.Host.Tests.Telemetry;
using Xunit;

namespace TurfWatch.Host.Tests.Deploy;

/// <summary>A rule about a metric that does not exist never fires, and nobody notices.</summary>
public sealed partial class AlertRulesTests(FullRun run)
{
    private static string Rules { get; } =
        File.ReadAllText(Path.Combine(Repository.Root, "deploy/alerts.yml"));

    [Fact]
    public async Task Every_metric_and_label_of_a_rule_is_in_a_scrape()
    {
        var scrape = (await run.ToldAsync()).Scrape;
        var used = MetricForm().Matches(Rules);

        Assert.True(used.Count >= 10);
        Assert.All(
            used,
            m =>
            {
                var lines = FullRunTests
                    .Lines(scrape)
                    .Where(l => SeriesForm().Match(l).Groups[1].Value == m.Groups["name"].Value)
                    .ToList();
                Assert.True(lines.Count > 0, $"no metric {m.Groups["name"].Value}");
                foreach (Match label in MatcherForm().Matches(m.Groups["labels"].Value))
                {
                    var name = label.Groups["name"].Value;
                    Assert.Contains(lines, l => l.Contains($"{name}=\"", StringComparison.Ordinal));
                    // Results of weather requests have no series before they happen; the page on metrics lists them.
                    if (m.Groups["name"].Value != "turfwatch_weather_requests_total")
                    {
                        foreach (var value in label.Groups["value"].Value.Split('|'))
                        {
                            Assert.Contains(
                                lines,
                                l => l.Contains($"{name}=\"{value}\"", StringComparison.Ordinal)
                            );
                        }
                    }
                }
            }
        );
    }

    [Fact]
    public void Every_rule_leads_to_its_entry_in_the_runbook()
    {
        var alerts = AlertForm().Matches(Rules).Select(m => m.Groups[1].Value).ToList();
        var links = LinkForm().Matches(Rules).Select(m => m.Groups[1].Value);

        Assert.Equal(alerts.Select(a => a.ToLowerInvariant()), links);
    }

    [GeneratedRegex(
        @"(?<name>turfwatch_[a-z_]+)(?:\{(?<labels>[^}]*)\})?",
        RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex MetricForm();

    [GeneratedRegex(@"(?<name>\w+)=~?""(?<value>[^""]*)""", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex MatcherForm();

    [GeneratedRegex(@"^(\w+)", RegexOptions.None, 1000)]
    private static partial Regex SeriesForm();

    [GeneratedRegex(@"- alert: (\w+)", RegexOptions.None, 1000)]
    private static partial Regex AlertForm();

    [GeneratedRegex(@"runbook_url: docs/runbook\.md#(\w+)", RegexOptions.None, 1000)]
    private static partial Regex LinkForm();
}
