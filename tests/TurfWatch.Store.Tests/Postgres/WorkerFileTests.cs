using System.Diagnostics;
using TurfWatch.Testing;

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>Who of the workers of a machine has ended is told by the kernel's locks (flock(2)).</summary>
public sealed class WorkerFileTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_worker_that_lives_is_not_called_ended_and_one_whose_lock_is_gone_is()
    {
        using var ann = WorkerFile.Take(_folder.Path, "host:1:aa")!;
        using var bob = WorkerFile.Take(_folder.Path, "host:2:bb")!;
        Assert.Empty(ann.Ended());

        bob.Dispose();

        var ended = Assert.Single(ann.Ended());
        Assert.Equal("host:2:bb", ended.Worker);
        // While one sees to it, nobody else does.
        Assert.Empty(ann.Ended());
        ended.Dispose();
        ended = Assert.Single(ann.Ended());
        ended.Delete();
        ended.Dispose();
        Assert.Empty(ann.Ended());
        Assert.Single(Directory.GetFiles(_folder.Path, "worker-*"));
    }

    // A folder on a network: the locks of the other machine may not be seen here.
    [Fact]
    public void Workers_of_other_machines_are_left_alone()
    {
        using var ann = WorkerFile.Take(_folder.Path, "host:1:aa")!;
        WorkerFile.Take(_folder.Path, "host2:2:bb")!.Dispose();

        Assert.Empty(ann.Ended());
    }

    [Fact]
    public async Task A_process_that_is_stopped_holds_its_lock_and_one_that_is_killed_does_not()
    {
        using var ann = WorkerFile.Take(_folder.Path, "host:1:aa")!;
        WorkerFile.Take(_folder.Path, "host:2:bb")!.Dispose();
        using var other = Process.Start(
            Needs.Program("flock", "util-linux"),
            [
                "--no-fork",
                Path.Combine(_folder.Path, "worker-host:2:bb.lock"),
                "sh",
                "-c",
                "exec sleep 300",
            ]
        );
        while (ann.Ended() is { Count: > 0 } ended)
        {
            ended[0].Dispose();
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }

        await PostgresServer.SignalAsync("STOP", other.Id);
        Assert.Empty(ann.Ended());
        await PostgresServer.SignalAsync("KILL", other.Id);
        await other.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal("host:2:bb", Assert.Single(ann.Ended()).Worker);
    }

    [Fact]
    public void Where_no_file_can_be_made_nobody_is_judged()
    {
        Assert.Null(WorkerFile.Take(Path.Combine(_folder.Path, "nowhere"), "host:1:aa"));
        Assert.Null(WorkerFile.Take("/proc", "host:1:aa"));
    }
}
