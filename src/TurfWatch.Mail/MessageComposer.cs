using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail;

/// <summary>Turns a briefing into a message.</summary>
public sealed class MessageComposer(SenderOptions sender, LinkTokens tokens)
{
    /// <summary>The message as a row for the outbox, complete as it will go over the wire; the same input gives the same bytes.</summary>
    /// <param name="key">What makes the message unique for the subscriber and kind, see <see cref="OutboxMessage.Key"/>.</param>
    public OutboxMessage Compose(
        Briefing briefing,
        Subscriber subscriber,
        string key,
        Instant notBefore,
        Instant notAfter
    ) => throw new NotSupportedException($"{sender.FromName} {tokens.Issue("x", 0)}");

    /// <summary>What the reader would see; without a subscriber the foot says that it is a preview.</summary>
    public ComposedParts Render(Briefing briefing, Subscriber? subscriber = null) =>
        throw new NotSupportedException($"{sender.FromName} {tokens.Issue("x", 0)}");
}
