using System.Net;
using System.Net.Sockets;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Web;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class HealthCheckCommandTests : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task It_says_what_the_service_beside_it_says()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, TimeProvider.System);
        await rig.SweptAsync(TimeProvider.System, JobNames.Deliver);

        var alive = await AskAsync(rig.Http.BaseAddress!.Port);
        rig.Health.Trouble(HealthAreas.Store, "the disk is full");
        var unready = await AskAsync(rig.Http.BaseAddress!.Port, "--ready");

        Assert.Equal(new(0, "live\n", ""), alive);
        Assert.Equal(1, unready.Exit);
        Assert.StartsWith("not ready\nstore (since ", unready.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_troubles_the_service_is_told_in_full_at_the_address_of_the_metrics_alone()
    {
        using var free = new TcpListener(IPAddress.Loopback, 0);
        free.Start();
        var metrics = ((IPEndPoint)free.LocalEndpoint).Port;
        free.Stop();
        await using var rig = await ServiceRig.StartAsync(
            _scratch,
            TimeProvider.System,
            more: $", \"Metrics\": {{ \"Listen\": \"http://127.0.0.1:{metrics}\" }}"
        );
        await rig.SweptAsync(TimeProvider.System, JobNames.Deliver);
        rig.Health.Trouble(
            HealthAreas.Weather,
            "gone at http://10.1.2.3: refused the key of keeper"
        );

        var asAnyone = await rig.Http.GetStringAsync("/health/ready");
        var asOperator = await AskAsync(rig.Http.BaseAddress!.Port, metrics, "--ready");

        Assert.Matches(
            "^ready, degraded\nweather \\(since [^)]*\\): new weather could not be had for some place\n$",
            asAnyone
        );
        Assert.Equal(0, asOperator.Exit);
        Assert.EndsWith(
            ": gone at http://10.1.2.3: refused the key of keeper\n",
            asOperator.Out,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task No_service_is_a_failure_with_a_sentence()
    {
        using var free = new TcpListener(IPAddress.Loopback, 0);
        free.Start();
        var port = ((IPEndPoint)free.LocalEndpoint).Port;
        free.Stop();

        var answer = await AskAsync(port);

        Assert.Equal(1, answer.Exit);
        Assert.Contains("is 'turfwatch serve' running", answer.Error, StringComparison.Ordinal);
    }

    private Task<CliAnswer> AskAsync(int port, params string[] more) => AskAsync(port, 0, more);

    private async Task<CliAnswer> AskAsync(int port, int metrics, params string[] more) =>
        await Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            [
                "healthcheck",
                "--config",
                // Where a container listens: everywhere.
                _scratch.Write(
                    "h.json",
                    $$"""
                    {
                      "Web": { "Listen": "http://0.0.0.0:{{port}}" },
                      "Metrics": { "Listen": "{{(
                        metrics > 0 ? $"http://127.0.0.1:{metrics}" : ""
                    )}}" }
                    }
                    """
                ),
                .. more,
            ]
        );
}
