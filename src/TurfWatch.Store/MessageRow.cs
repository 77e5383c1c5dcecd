using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A message as it is written into the outbox.</summary>
/// <param name="SubscriberId">To whom.</param>
/// <param name="Kind">Name of its kind.</param>
/// <param name="Key">Its key.</param>
/// <param name="Recipient">Envelope recipient.</param>
/// <param name="EnvelopeSender">Envelope sender.</param>
/// <param name="MessageId">Message-ID.</param>
/// <param name="NotBefore">Not sent before [ms since 1970].</param>
/// <param name="NotAfter">Never sent after [ms since 1970].</param>
/// <param name="Content">Its bytes, packed; null when there is nothing to send, only something to put on record.</param>
/// <param name="State">Name of its state.</param>
/// <param name="Reason">Why it is at its end already; null when it is not.</param>
/// <param name="Now">When it is made [ms since 1970].</param>
/// <param name="Settled">When it reached its end [ms since 1970]; null when it has not.</param>
internal sealed record MessageRow(
    long SubscriberId,
    string Kind,
    string Key,
    string Recipient,
    string EnvelopeSender,
    string MessageId,
    long NotBefore,
    long NotAfter,
    byte[]? Content,
    string State,
    string? Reason,
    long Now,
    long? Settled
)
{
    /// <summary>A morning for which no message was made, with the end that it came to.</summary>
    public static MessageRow UnsentMorning(
        Subscriber to,
        string key,
        Instant dueAt,
        Instant notAfter,
        OutboxState end,
        string reason,
        long now
    ) =>
        Of(
            new OutboxMessage
            {
                SubscriberId = to.Id,
                Kind = MessageKind.Morning,
                Key = key,
                Recipient = to.Email,
                EnvelopeSender = "",
                MessageId = "",
                NotBefore = dueAt,
                NotAfter = notAfter,
                Content = [],
            },
            end,
            reason,
            now
        );

    public static MessageRow Of(
        OutboxMessage message,
        OutboxState state,
        string? reason,
        long now
    ) =>
        new(
            message.SubscriberId,
            message.Kind.ToString(),
            message.Key,
            message.Recipient,
            message.EnvelopeSender,
            message.MessageId,
            Stored.Ms(message.NotBefore),
            Stored.Ms(message.NotAfter),
            message.Content.Length == 0 ? null : OutboxRow.Zip(message.Content),
            state.ToString(),
            reason,
            now,
            state == OutboxState.Queued ? null : now
        );
}
