using System.Collections.Immutable;
using System.Diagnostics;
using TurfWatch.Core;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>The place that the program logs to is full, or nobody reads there any more (fault L1): mail goes on.</summary>
public sealed class LogFaultTests
{
    [Fact]
    public async Task A_full_disk_under_the_log()
    {
        await using var rig = FaultRig.Start("L1 the log's disk is full");
        await rig.QueueAsync(30, MessageKind.Morning, MessageKind.Alert, MessageKind.Digest);
        // Each write there fails for want of room.
        var service = Serve(rig, "/dev/full");
        await rig.SettleAsync(service);
        await service.StopAsync();
        Assert.Equal(30, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    [Fact]
    public async Task A_log_that_nobody_reads()
    {
        // More lines than a pipe and the logger's own queue hold.
        const int Count = 3500;
        await using var rig = FaultRig.Start("L1 nobody reads the log's pipe");
        await rig.QueueAsync(Count, MessageKind.Morning, MessageKind.Alert, MessageKind.Digest);
        var pipe = Path.Combine(rig.Folder, "log");
        using (var make = Process.Start("mkfifo", [pipe]))
        {
            await make.WaitForExitAsync(FaultRig.Cancellation);
        }

        await using var reader = new FileStream(pipe, FileMode.Open, FileAccess.ReadWrite);
        var service = Serve(rig, pipe);
        await rig.SettleAsync(service);
        await service.StopAsync();
        Assert.Equal(Count, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    private static ServeProcess Serve(FaultRig rig, string output) =>
        rig.Serve(
            [("Mail:Smtp:Connections", "8"), ("Delivery:Connections", "8")],
            ImmutableDictionary<string, string>.Empty,
            output: output
        );
}
