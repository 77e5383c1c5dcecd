using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <summary>The process dies at each point of a delivery (faults P2 to P5). A real process is killed in KillTests.</summary>
public sealed class DeliveryCrashTests
{
    public enum Point
    {
        AfterClaim,
        AfterMarkedSending,
        InTheTransaction,
        AfterTheRelayTookIt,
        AfterItWasWrittenDown,
    }

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Theory]
    [CombinatorialPoints]
    public async Task A_death_at_any_point_loses_nothing_and_repeats_no_morning(
        Point point,
        MessageKind kind
    )
    {
        await using var bench = await DeliveryBench.StartAsync();
        var messages = await bench.QueueAsync(5, kind);

        await DieAsync(bench, point);
        await bench.RestartAsync();
        bench.Relay.Script = null;
        for (var i = 0; i < 3; i++)
        {
            await bench.Sweep().RunAsync(Cancellation);
            bench.Time.Advance(TimeSpan.FromMinutes(5));
        }

        var resends = OutboxPolicy.ResendsUnknown(kind);
        foreach (var message in messages)
        {
            var row = await bench.RowAsync(message);
            var copies = bench.Relay.Taken.Count(m => m.MessageId == message.MessageId);
            Assert.Contains(row.State, new[] { OutboxState.Sent, OutboxState.Unknown });
            Assert.InRange(copies, row.State == OutboxState.Sent ? 1 : 0, resends ? 2 : 1);
        }

        var counts = await bench.Store.Outbox.CountAsync(Cancellation);
        var unsure =
            point
            is Point.AfterMarkedSending
                or Point.InTheTransaction
                or Point.AfterTheRelayTookIt;
        Assert.Equal(unsure && !resends ? 1 : 0, counts[OutboxState.Unknown]);
        Assert.Equal(unsure && !resends ? 4 : 5, counts[OutboxState.Sent]);
    }

    private static async Task DieAsync(DeliveryBench bench, Point point)
    {
        if (point is Point.InTheTransaction or Point.AfterTheRelayTookIt)
        {
            // The sweep is abandoned where it hangs; the store is closed under it, as a death does.
            var reached = new TaskCompletionSource();
            bench.Relay.Script = async (message, _) =>
            {
                if (point == Point.AfterTheRelayTookIt)
                {
                    bench.Relay.Take(message);
                }

                reached.TrySetResult();
                await Task.Delay(Timeout.Infinite, CancellationToken.None);
                return null;
            };
            _ = bench.Sweep(DeliveryBench.Unpaced(connections: 1)).RunAsync(CancellationToken.None);
            await reached.Task;
            return;
        }

        var lease = Duration.FromMinutes(2);
        var outbox = bench.Store.Outbox;
        var claimed = await outbox.ClaimAsync("dying", 3, lease, Cancellation);
        if (point == Point.AfterClaim)
        {
            return;
        }

        await outbox.BeginSendingAsync(claimed[0], lease, Cancellation);
        if (point == Point.AfterItWasWrittenDown)
        {
            var outcome = await bench.Relay.SendAsync(claimed[0], Cancellation);
            var reply = Assert.IsType<SendOutcome.Accepted>(outcome).Reply;
            await outbox.CompleteAsync(claimed[0], OutboxOutcome.Sent(reply), Cancellation);
        }
    }

    private sealed class CombinatorialPointsAttribute : Xunit.v3.DataAttribute
    {
        public override ValueTask<IReadOnlyCollection<ITheoryDataRow>> GetData(
            System.Reflection.MethodInfo testMethod,
            Xunit.Sdk.DisposalTracker disposalTracker
        ) =>
            new([
                .. from point in Enum.GetValues<Point>()
                from kind in Enum.GetValues<MessageKind>()
                select new TheoryDataRow(point, kind),
            ]);

        public override bool SupportsDiscoveryEnumeration() => true;
    }
}
