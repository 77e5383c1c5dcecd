using System.Text.RegularExpressions;
using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail;

/// <content>Letters of the service about itself.</content>
public sealed partial class MessageComposer
{
    private const int LongestMessageId = 250;

    /// <summary>
    /// A notice as a row for the outbox. One that answers a message goes out with the empty return path
    /// (RFC 3834 3.3), so that nothing comes back to it; any other returns to the mailbox like list mail.
    /// </summary>
    /// <param name="subscriberId">Who receives it.</param>
    /// <param name="recipient">A bare address, as <see cref="AddressRule"/> gives it.</param>
    /// <param name="key">What makes the notice unique for the subscriber and kind, see <see cref="OutboxMessage.Key"/>.</param>
    /// <exception cref="ArgumentException">The recipient is not a bare address, or the kind is not a notice's.</exception>
    public OutboxMessage Compose(
        Notice notice,
        long subscriberId,
        string recipient,
        string key,
        Instant notBefore,
        Instant notAfter
    )
    {
        if (notice.Kind is not (MessageKind.Confirmation or MessageKind.Receipt))
        {
            throw new ArgumentException(
                $"a notice is a {MessageKind.Confirmation} or a {MessageKind.Receipt}, not a {notice.Kind}; write a content and a viewer for other kinds",
                nameof(notice)
            );
        }

        if (
            AddressRule.Check(recipient) is var (normalised, problem)
            && !string.Equals(normalised, recipient, StringComparison.Ordinal)
        )
        {
            throw new ArgumentException(
                $"the recipient is not an address as AddressRule gives it: {problem ?? "its form differs"}",
                nameof(recipient)
            );
        }

        var view = View(notice, subscriberId);
        var messageId = Name(subscriberId, $"{notice.Kind}|{key}");
        using var message = Start(view, [], recipient, messageId);
        message.ReplyTo.Add(new MailboxAddress("", ReplyTo(notice, subscriberId)));
        message.Date = notice.MadeAt.InZone(notice.Zone).ToDateTimeOffset();
        var answers = notice.InReplyTo is not null;
        ListHeaders.AddPersonal(message.Headers, answers);
        if (notice.InReplyTo is { } answered && IsMessageId(answered))
        {
            message.InReplyTo = answered;
            message.References.Add(answered);
        }

        return new()
        {
            SubscriberId = subscriberId,
            Kind = notice.Kind,
            Key = key,
            Recipient = recipient,
            EnvelopeSender = answers ? "" : ReturnPath(subscriberId, notice.Kind, key),
            MessageId = messageId,
            NotBefore = notBefore,
            NotAfter = notAfter,
            Content = Bytes(message, recipient),
        };
    }

    /// <summary>What the reader of a notice would see.</summary>
    public ComposedParts Render(Notice notice, long subscriberId) =>
        Parts(View(notice, subscriberId));

    // A name from outside goes into our headers only in the plain form of RFC 5322 3.6.4: two dot-atoms.
    private static bool IsMessageId(string text) =>
        text.Length <= LongestMessageId && MessageIdForm().IsMatch(text);

    [GeneratedRegex(
        @"^[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*@[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)*\z",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex MessageIdForm();

    private NoticeView View(Notice notice, long subscriberId) =>
        NoticeViewer.View(
            notice,
            sender,
            link => LinkTo(notice, link),
            // Nobody can leave who never came.
            subscriberId > 0
                ? Links(subscriberId).Visible
                : ""
        );

    private string ReplyTo(Notice notice, long subscriberId) =>
        _inbox is null ? sender.Reply
        : notice.Kind == MessageKind.Confirmation
            ? _inbox.ReplyAddress(
                tokens.ConfirmTokenFor(subscriberId, Until(notice, LinkPurpose.Confirm))
            )
        : notice.LawnId is { } lawn ? _inbox.ReplyAddress(tokens.ReplyTokenFor(lawn, notice.MadeAt))
        : _inbox.Address;

    private static Instant Until(Notice notice, LinkPurpose purpose) =>
        notice.MadeAt + LinkPaths.Lifetime(purpose);

    // Without a public page, what can be done by answering is a link that begins the answer.
    private string? LinkTo(Notice notice, NoticeLink link) =>
        Page(
            LinkPaths.Of(link.Purpose),
            tokens.Issue(link.Purpose, link.Id, Until(notice, link.Purpose))
        )
        ?? (_inbox, link.Purpose, notice.LawnId) switch
        {
            ({ } inbox, LinkPurpose.Confirm, _) => MailTo(
                inbox,
                tokens.ConfirmTokenFor(link.Id, Until(notice, LinkPurpose.Confirm)),
                "yes"
            ),
            ({ } inbox, LinkPurpose.Undo, { } lawn) => MailTo(
                inbox,
                tokens.ReplyTokenFor(lawn, notice.MadeAt),
                "undo"
            ),
            _ => null,
        };
}
