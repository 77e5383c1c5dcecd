using System.Collections.Concurrent;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Telemetry;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Sends what is due: claim, mark as sending, hand to the relay, write what became of it. Run once a
/// minute; runs that overlap or repeat do no harm. States and promises: docs/reliability.md.
/// </summary>
public sealed partial class DeliverySweep(
    TurfStore store,
    IMailTransport transport,
    TimeProvider time,
    DeliveryOptions options,
    ILogger<DeliverySweep> log,
    Random random
) : IDisposable
{
    private readonly SemaphoreSlim _turn = new(1, 1);

    // Our own transactions are not lapsed, however long the machine slept: we are here, and shall tell their ends.
    private readonly ConcurrentDictionary<long, OutboxMessage> _underWay = [];
    private readonly DeliveryPacer _pacer = new(
        time,
        options.PerSecond,
        options.PerDomainPerSecond
    );
    private readonly RelayBreaker _relay = new(Duration.FromTimeSpan(options.RelayPause));

    /// <summary>
    /// Drains what is due. When <paramref name="stop"/> is cancelled nothing new is begun, what is under way may finish
    /// within <see cref="DeliveryOptions.StopGrace"/>, and the rest goes back untried.
    /// </summary>
    public async Task<DeliveryReport> RunAsync(CancellationToken stop)
    {
        var report = new DeliveryReport();
        await _turn.WaitAsync(stop);
        try
        {
            await SaveUnsavedAsync();
            while (!stop.IsCancellationRequested && report.Halted is null)
            {
                Count(await store.Outbox.SweepAsync(options.MaxClaims, UnderWay, stop), report);
                if (_relay.RestsUntil(Now) is { } until)
                {
                    report.Halt($"the mail relay is left alone until {until}: {_relay.Reason}");
                    break;
                }

                var claimedAt = Now;
                var first = await store.Outbox.ClaimAsync(
                    Worker.Name,
                    _relay.IsDoubtful ? 1 : options.Batch,
                    Duration.FromTimeSpan(options.Lease),
                    stop
                );
                if (first.Count == 0)
                {
                    if (await store.Outbox.HeldAsync(stop) is { } hold)
                    {
                        report.Halt(hold.Sentence);
                    }

                    break;
                }

                await DeliverAsync(StreamAsync(first, claimedAt, report, stop), report, stop);
            }
        }
        catch (StoreException e)
        {
            report.Halt(e);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            report.Halt("the service is stopping");
        }
        finally
        {
            _turn.Release();
        }

        if (report.Halted is not null)
        {
            LogHalted(log, report.Halted);
        }

        return report;
    }

    public void Dispose() => _turn.Dispose();

    private async Task DeliverAsync(
        IAsyncEnumerable<Claimed> messages,
        DeliveryReport report,
        CancellationToken stop
    )
    {
        // Told to stop, transactions under way get the grace and only then are cut.
        using var cut = new CancellationTokenSource(Timeout.InfiniteTimeSpan, time);
        await using var onStop = stop.Register(() => cut.CancelAfter(options.StopGrace));
        await Parallel.ForEachAsync(
            messages,
            new ParallelOptions
            {
                MaxDegreeOfParallelism = options.Connections,
                CancellationToken = CancellationToken.None,
            },
            async (claimed, _) =>
                await DeliverAsync(claimed.Message, claimed.At, report, stop, cut.Token)
        );
    }

    private async Task DeliverAsync(
        OutboxMessage message,
        Instant claimedAt,
        DeliveryReport report,
        CancellationToken stop,
        CancellationToken cut
    )
    {
        if (await MayNotBeginAsync(message, claimedAt, report, stop) is { } reason)
        {
            await PutBackAsync(message, reason, Now, report);
            return;
        }

        _underWay[message.Id] = message;
        try
        {
            await SendAsync(message, report, cut);
        }
        finally
        {
            _underWay.TryRemove(message.Id, out _);
        }
    }

    private async Task SendAsync(
        OutboxMessage message,
        DeliveryReport report,
        CancellationToken cut
    )
    {
        SendPermit permit;
        try
        {
            permit = await store.Outbox.BeginSendingAsync(
                message,
                Duration.FromTimeSpan(options.SendingLease),
                CancellationToken.None
            );
        }
        catch (StoreException e)
        {
            report.Halt(e);
            await PutBackAsync(message, e.Message, Now, report);
            return;
        }

        switch (permit)
        {
            case SendPermit.Expired:
                ServiceMeter.Became(message.Kind, "expired");
                report.CountExpired();
                return;
            case SendPermit.Suppressed:
                ServiceMeter.Became(message.Kind, "suppressed");
                report.CountSuppressed();
                return;
            case SendPermit.Held:
                report.CountReturned();
                report.Halt("all is held");
                return;
            case SendPermit.Lost:
                LogLost(log, message.Id);
                return;
        }

        SendOutcome outcome;
        using var span = ServiceTraces.Start("deliver");
        span?.SetTag("turfwatch.outbox.id", message.Id);
        span?.SetTag("turfwatch.kind", message.Kind.ToString());
        span?.SetTag("messaging.message.id", message.MessageId);
        try
        {
            outcome = await transport.SendAsync(message, cut);
        }
        catch (OperationCanceledException) when (cut.IsCancellationRequested)
        {
            await PutBackAsync(message, "the service stopped before it was sent", Now, report);
            return;
        }
        catch (Exception e)
        {
            // A fault of ours, at a point that nobody knows. To call it unsent would risk a second copy.
            LogTransportFault(log, message.Id, e);
            outcome = new SendOutcome.Unknown(
                $"the sender failed: {e.GetType().Name}: {e.Message}"
            );
        }

        Failpoint.Pass(Failpoint.After250, [message]);
        Tell(message, outcome, span);
        await SettleAsync(message, outcome, report);
        Failpoint.Pass(Failpoint.AfterCommit, [message]);
    }

    private async Task<string?> MayNotBeginAsync(
        OutboxMessage message,
        Instant claimedAt,
        DeliveryReport report,
        CancellationToken stop
    )
    {
        try
        {
            if (report.Halted is null)
            {
                await _pacer.WaitAsync(message.Recipient, stop);
            }
        }
        catch (OperationCanceledException)
        {
            return "the service is stopping";
        }

        if (stop.IsCancellationRequested)
        {
            return "the service is stopping";
        }

        // A batch before a slow relay: better put back than begun on a lease about to lapse.
        return
            report.Halted is null && Now - claimedAt > Duration.FromTimeSpan(options.Lease) * 0.75
            ? "not begun in time"
            : report.Halted;
    }

    private IReadOnlyCollection<long> UnderWay => [.. _underWay.Keys];

    private Instant Now => Instant.FromDateTimeOffset(time.GetUtcNow());
}
