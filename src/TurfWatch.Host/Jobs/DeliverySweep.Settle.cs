using System.Collections.Concurrent;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <content>What becomes of a message that was tried, or was not.</content>
public sealed partial class DeliverySweep
{
    private readonly ConcurrentQueue<(OutboxMessage Message, OutboxOutcome Outcome)> _unsaved = [];

    private async Task SettleAsync(
        OutboxMessage message,
        SendOutcome outcome,
        DeliveryReport report
    )
    {
        if (outcome is SendOutcome.RelayDown down)
        {
            var until = _relay.Open(Now, down.Reason);
            report.Halt($"the mail relay is left alone until {until}: {down.Reason}");
            await PutBackAsync(message, down.Reason, until, report);
            return;
        }

        _relay.Close();
        switch (outcome)
        {
            case SendOutcome.Accepted accepted:
                report.CountSent();
                await SaveAsync(message, OutboxOutcome.Sent(accepted.Reply), report);
                break;
            case SendOutcome.Temporary temporary:
                report.CountRetried();
                await SaveAsync(
                    message,
                    OutboxOutcome.Retry(temporary.Reply, Now + Backoff(message, temporary)),
                    report
                );
                break;
            case SendOutcome.Permanent permanent:
                report.CountRefused();
                await SaveAsync(
                    message,
                    permanent.HardBounce
                        ? OutboxOutcome.HardBounce(permanent.Reply)
                        : OutboxOutcome.Refused(permanent.Reply),
                    report
                );
                break;
            case SendOutcome.Unknown unknown:
                report.CountUnknown();
                await SaveAsync(message, OutboxOutcome.Unknown(unknown.Reason), report);
                break;
        }
    }

    private Duration Backoff(OutboxMessage message, SendOutcome.Temporary temporary)
    {
        double share;
        lock (random)
        {
            share = random.NextDouble();
        }

        return DeliveryBackoff.Delay(
            options,
            message.Attempts,
            temporary.RetryAfter,
            message.NotAfter - Now,
            share
        );
    }

    private Task PutBackAsync(
        OutboxMessage message,
        string reason,
        Instant at,
        DeliveryReport report
    )
    {
        report.CountReturned();
        return SaveAsync(
            message,
            OutboxOutcome.Untried(reason, Instant.Min(at, message.NotAfter)),
            report
        );
    }

    /// <summary>Writes the outcome; when that cannot be done now it is kept and written before anything else is sent.</summary>
    private async Task SaveAsync(
        OutboxMessage message,
        OutboxOutcome outcome,
        DeliveryReport report
    )
    {
        try
        {
            if (!await store.Outbox.CompleteAsync(message, outcome, CancellationToken.None))
            {
                LogLost(log, message.Id);
            }
        }
        catch (StoreException e)
        {
            _unsaved.Enqueue((message, outcome));
            report.Halt(e);
        }
    }

    private async Task SaveUnsavedAsync()
    {
        while (_unsaved.TryPeek(out var kept))
        {
            await store.Outbox.CompleteAsync(kept.Message, kept.Outcome, CancellationToken.None);
            _unsaved.TryDequeue(out _);
        }
    }
}
