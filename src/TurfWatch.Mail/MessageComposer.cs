using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Charts;
using TurfWatch.Mail.Composing;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Mail;

/// <summary>Turns what a message says into a message.</summary>
/// <param name="inbox">The mailbox that answers and refused mail go to; without one they go to the sender's addresses.</param>
public sealed partial class MessageComposer(
    SenderOptions sender,
    LinkTokens tokens,
    InboxOptions? inbox = null
)
{
    /// <summary>Purpose of the tokens in unsubscribe links.</summary>
    public const string UnsubscribePurpose = "unsubscribe";

    /// <summary>Path of unsubscribe links under the public base address; the token follows.</summary>
    public const string UnsubscribePath = "u/";

    private readonly InboxOptions? _inbox = inbox is { Configured: true } ? inbox : null;

    /// <summary>Whether somebody reads what is answered to a message.</summary>
    public bool TakesAnswers => _inbox is not null;

    /// <summary>
    /// The message as a row for the outbox, complete as it will go over the wire. The same input gives the
    /// same bytes: the Message-ID follows from subscriber, kind and key, the date is the content's.
    /// </summary>
    /// <param name="key">What makes the message unique for the subscriber and kind, see <see cref="OutboxMessage.Key"/>.</param>
    public OutboxMessage Compose(
        MessageContent content,
        Subscriber subscriber,
        string key,
        Instant notBefore,
        Instant notAfter
    )
    {
        var links = Links(subscriber.Id);
        string? LinkFor(DeedOffer offer) => OfferLink(offer, content);
        var pictures = new List<ChartPicture>();
        var view = MessageViewer.View(content, sender, links.Visible, LinkFor, Attached(pictures));
        var messageId = Name(subscriber.Id, $"{content.Kind}|{key}");
        using var message = Start(view, pictures, subscriber.Email, messageId);
        message.ReplyTo.Add(
            new MailboxAddress(
                "",
                _inbox?.ReplyAddress(tokens.ReplyTokenFor(content.Lawn.Id, content.MadeAt))
                    ?? sender.Reply
            )
        );
        message.Date = content.MadeAt.InZone(content.Lawn.Place.Zone).ToDateTimeOffset();
        ListHeaders.Add(message.Headers, content.Kind, sender, links);
        if (content is SeasonAlert alert)
        {
            // The events of one window stand together: all refer to a first message that need not exist.
            message.References.Add(
                Name(subscriber.Id, $"thread|{alert.Lawn.Id}|{alert.Window.Key}")
            );
        }

        return new()
        {
            SubscriberId = subscriber.Id,
            Kind = content.Kind,
            Key = key,
            Recipient = subscriber.Email,
            EnvelopeSender = ReturnPath(subscriber.Id, content.Kind, key),
            MessageId = messageId,
            NotBefore = notBefore,
            NotAfter = notAfter,
            Content = Bytes(message, subscriber.Email),
        };
    }

    /// <summary>What the reader would see; without a subscriber the foot says that it is a preview.</summary>
    public ComposedParts Render(MessageContent content, Subscriber? subscriber = null)
    {
        var link = subscriber is null ? "" : Links(subscriber.Id).Visible;
        return Parts(
            MessageViewer.View(
                content,
                sender,
                link,
                subscriber is null ? _ => null : offer => OfferLink(offer, content),
                Inline
            )
        );
    }

    private static ComposedParts Parts(MessageView view) =>
        new(view.Frame.Subject, PlainTextPart.Write(view), HtmlPart.Write(view));

    private static byte[] Bytes(MimeMessage message, string recipient)
    {
        message.Prepare(EncodingConstraint.SevenBit);
        var format = FormatOptions.Default.Clone();
        format.NewLineFormat = NewLineFormat.Dos;
        // Headers in UTF-8 only for an address that cannot be written otherwise (RFC 6532).
        format.International = !recipient.All(char.IsAscii);
        using var wire = new WireText(32 * 1024);
        message.WriteTo(format, wire);
        return wire.Written.ToArray();
    }

    private MimeMessage Start(
        MessageView view,
        IReadOnlyList<ChartPicture> pictures,
        string recipient,
        string messageId
    )
    {
        var message = new MimeMessage();
        message.Headers.Clear();
        message.From.Add(new MailboxAddress(view.Frame.Sender, sender.FromAddress));
        message.To.Add(new MailboxAddress("", recipient));
        message.Subject = view.Frame.Subject;
        message.MessageId = messageId;
        message.Body = Body(view, pictures, messageId);
        return message;
    }

    private string Name(long subscriberId, string of) =>
        $"{tokens.StableName($"{subscriberId}|{of}")}@{sender.FromDomain}";

    // An address of its own for each message, so that what comes back names it.
    private string ReturnPath(long subscriberId, MessageKind kind, string key) =>
        _inbox?.ReturnAddress(tokens.BounceToken(subscriberId, kind, key)) ?? sender.FromAddress;

    private UnsubscribeLinks Links(long subscriberId)
    {
        var token = tokens.Issue(UnsubscribePurpose, subscriberId);
        return new(
            Page(UnsubscribePath, token),
            _inbox is null
                ? $"{sender.OwnerLink}?subject=unsubscribe%20{token}"
                : MailTo(_inbox, tokens.LeaveTokenFor(subscriberId), "unsubscribe")
        );
    }

    private string? OfferLink(DeedOffer offer, MessageContent content) =>
        Page(
            LinkPaths.Of(LinkPurpose.WriteDown),
            tokens.Issue(
                offer,
                content.Lawn.Id,
                content.MadeAt + LinkPaths.Lifetime(LinkPurpose.WriteDown)
            )
        );

    private string? Page(string path, string token) =>
        sender.PublicBaseUrl is { } url ? $"{url.AbsoluteUri.TrimEnd('/')}/{path}{token}" : null;

    private static string MailTo(InboxOptions inbox, string token, string subject) =>
        $"mailto:{inbox.ReplyAddress(token)}?subject={subject}";
}
