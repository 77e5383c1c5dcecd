using System.Diagnostics;
using TurfWatch.Core;
using TurfWatch.Host.Telemetry;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <content>What it tells: log, metrics and traces.</content>
public sealed partial class DeliverySweep
{
    private static void Count(OutboxSweep sweep, DeliveryReport report)
    {
        ServiceMeter.Became("expired", sweep.Expired);
        ServiceMeter.Became("suppressed", sweep.Suppressed);
        ServiceMeter.Became("dead", sweep.Dead);
        ServiceMeter.Became("unknown", sweep.Unknown);
        report.Count(sweep);
    }

    /// <summary>One event for each attempt, by the row and the Message-ID that the relay's log has too.</summary>
    private void Tell(OutboxMessage message, SendOutcome outcome, Activity? span)
    {
        ServiceMeter.Attempted(message, outcome, (Now - message.NotBefore).ToTimeSpan());
        var (level, became, reply) = outcome switch
        {
            SendOutcome.Accepted a => (LogLevel.Information, "sent", a.Reply),
            SendOutcome.Temporary t => (LogLevel.Information, "refused for now", t.Reply),
            SendOutcome.Permanent p => (LogLevel.Warning, "refused for good", p.Reply),
            SendOutcome.RelayDown d => (LogLevel.Information, "put back untried", d.Reason),
            SendOutcome.Unknown u => (LogLevel.Warning, "taken or not, nobody knows", u.Reason),
            _ => (LogLevel.Warning, "", ""),
        };
        if (outcome is not SendOutcome.Accepted)
        {
            span.Failed(reply);
        }

        LogAttempt(
            log,
            level,
            message.Id,
            // An @ would make it look like an address, and it would be masked.
            message.MessageId.Split('@')[0],
            message.Kind,
            AddressMask.Of(message.Recipient),
            message.Attempts,
            became,
            reply
        );
    }

    [LoggerMessage(LogLevel.Warning, "Delivery stopped early: {Reason}")]
    private static partial void LogHalted(ILogger logger, string reason);

    [LoggerMessage(
        "Message {Id} ({MessageId}, {Kind}) to {To}, attempt {Attempt}: {Became}: {Reply}"
    )]
    private static partial void LogAttempt(
        ILogger logger,
        LogLevel level,
        long id,
        string messageId,
        MessageKind kind,
        string to,
        int attempt,
        string became,
        string reply
    );

    [LoggerMessage(
        LogLevel.Warning,
        "Message {Id} is no longer held by this worker; nothing was written"
    )]
    private static partial void LogLost(ILogger logger, long id);

    [LoggerMessage(LogLevel.Error, "Message {Id}: the sender failed in an unforeseen way")]
    private static partial void LogTransportFault(ILogger logger, long id, Exception exception);
}
