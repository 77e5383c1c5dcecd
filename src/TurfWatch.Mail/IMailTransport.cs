using TurfWatch.Core;

namespace TurfWatch.Mail;

/// <summary>Hands one message to whoever carries it on. Never throws for what the other side does; it says what became of the message.</summary>
public interface IMailTransport
{
    /// <exception cref="OperationCanceledException">
    /// The caller gave up before the message body was out: the message is known not to have been sent.
    /// When the body was out already the outcome is <see cref="SendOutcome.Unknown"/> instead.
    /// </exception>
    Task<SendOutcome> SendAsync(OutboxMessage message, CancellationToken cancellationToken);
}
