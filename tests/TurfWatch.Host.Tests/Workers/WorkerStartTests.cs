using System.Diagnostics;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Workers;

/// <summary>A worker that is started while PostgreSQL is not there, as after a power cut.</summary>
public sealed class WorkerStartTests : IDisposable
{
    private const string Waits = "The start waits";

    private readonly ScratchFolder _folder = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_server_that_comes_later_is_waited_for()
    {
        await using var server = await PostgresServer.StartAsync(Cancel);
        var database = await server.NewDatabaseAsync(Cancel);
        await server.StopAsync();
        await using var worker = Serve(server.ConnectionString(database));
        await worker.UntilAsync(() =>
            Task.FromResult(worker.Log.Contains(Waits, StringComparison.Ordinal))
        );

        await server.StartAgainAsync(Cancel);

        await worker.UntilReadySaysAsync(text =>
            text.StartsWith("ready", StringComparison.Ordinal)
        );
        Assert.Contains("cannot be reached", worker.Log, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_server_that_stays_away_ends_the_start_after_half_a_minute()
    {
        var since = Stopwatch.GetTimestamp();
        await using var worker = Serve("Host=127.0.0.1;Port=9;Database=lawns;Username=turfwatch");

        Assert.Equal(1, await worker.ExitAsync());

        Assert.InRange(Stopwatch.GetElapsedTime(since).TotalSeconds, 29, 90);
        Assert.Contains(Waits, worker.Log, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_does_not_pass_by_itself_ends_it_at_once()
    {
        await using var server = await PostgresServer.StartAsync(Cancel);
        await using var worker = Serve(server.ConnectionString("lawns"));

        Assert.Equal(1, await worker.ExitAsync());

        Assert.Contains("has no such database", worker.Log, StringComparison.Ordinal);
        Assert.DoesNotContain(Waits, worker.Log, StringComparison.Ordinal);
    }

    private ServeProcess Serve(string postgres) =>
        ServeProcess.Start(
            _folder.Path,
            ("Store:Postgres", postgres),
            ("Store:BusyTimeout", "00:00:01")
        );
}
