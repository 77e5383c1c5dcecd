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
        Assert.Contains("the disk is full", unready.Out, StringComparison.Ordinal);
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

    private async Task<CliAnswer> AskAsync(int port, params string[] more) =>
        await Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            [
                "healthcheck",
                "--config",
                // Where a container listens: everywhere.
                _scratch.Write(
                    "h.json",
                    $"{{ \"Web\": {{ \"Listen\": \"http://0.0.0.0:{port}\" }} }}"
                ),
                .. more,
            ]
        );
}
