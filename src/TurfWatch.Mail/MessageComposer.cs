using MimeKit;
using MimeKit.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail;

/// <summary>Turns what a message says into a message.</summary>
public sealed class MessageComposer(SenderOptions sender, LinkTokens tokens)
{
    /// <summary>Purpose of the tokens in unsubscribe links.</summary>
    public const string UnsubscribePurpose = "unsubscribe";

    /// <summary>Path of unsubscribe links under the public base address; the token follows.</summary>
    public const string UnsubscribePath = "u/";

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
        var links = Links(subscriber);
        var view = MessageViewer.View(content, sender, links.Visible);
        var messageId = Name(subscriber, $"{content.Kind}|{key}");
        return new()
        {
            SubscriberId = subscriber.Id,
            Kind = content.Kind,
            Key = key,
            Recipient = subscriber.Email,
            EnvelopeSender = sender.FromAddress,
            MessageId = messageId,
            NotBefore = notBefore,
            NotAfter = notAfter,
            Content = Write(view, links, content, subscriber, messageId),
        };
    }

    /// <summary>What the reader would see; without a subscriber the foot says that it is a preview.</summary>
    public ComposedParts Render(MessageContent content, Subscriber? subscriber = null)
    {
        var link = subscriber is null ? "" : Links(subscriber).Visible;
        var view = MessageViewer.View(content, sender, link);
        return new(view.Frame.Subject, PlainTextPart.Write(view), HtmlPart.Write(view));
    }

    private static byte[] Bytes(MimeMessage message, string recipient)
    {
        var format = FormatOptions.Default.Clone();
        format.NewLineFormat = NewLineFormat.Dos;
        // Headers in UTF-8 only for an address that cannot be written otherwise (RFC 6532).
        format.International = !recipient.All(char.IsAscii);
        using var bytes = new MemoryStream();
        message.WriteTo(format, bytes);
        return bytes.ToArray();
    }

    private byte[] Write(
        MessageView view,
        UnsubscribeLinks links,
        MessageContent content,
        Subscriber subscriber,
        string messageId
    )
    {
        using var message = new MimeMessage();
        message.Headers.Clear();
        message.From.Add(new MailboxAddress(view.Frame.Sender, sender.FromAddress));
        message.To.Add(new MailboxAddress("", subscriber.Email));
        message.ReplyTo.Add(new MailboxAddress("", sender.Reply));
        message.Subject = view.Frame.Subject;
        message.Date = content.MadeAt.InZone(content.Lawn.Place.Zone).ToDateTimeOffset();
        message.MessageId = messageId;
        ListHeaders.Add(message.Headers, content.Kind, sender, links);
        if (content is SeasonAlert alert)
        {
            // The events of one window stand together: all refer to a first message that need not exist.
            message.References.Add(Name(subscriber, $"thread|{alert.Lawn.Id}|{alert.Window.Key}"));
        }

        message.Body = Body(view, messageId);
        message.Prepare(EncodingConstraint.SevenBit);
        return Bytes(message, subscriber.Email);
    }

    private static MultipartAlternative Body(MessageView view, string messageId)
    {
        var text = new TextPart(TextFormat.Plain)
        {
            Text = PlainTextPart.Write(view).ReplaceLineEndings("\r\n"),
            ContentTransferEncoding = ContentEncoding.QuotedPrintable,
        };
        var html = new TextPart(TextFormat.Html)
        {
            Text = HtmlPart.Write(view).ReplaceLineEndings("\r\n"),
            ContentTransferEncoding = ContentEncoding.QuotedPrintable,
        };
        var body = new MultipartAlternative(text, html);
        // A boundary of our own, for MimeKit's is random and a retry must be the same bytes.
        body.Boundary = $"=_{messageId.Split('@')[0]}";
        return body;
    }

    private string Name(Subscriber subscriber, string of) =>
        $"{tokens.StableName($"{subscriber.Id}|{of}")}@{sender.FromDomain}";

    private UnsubscribeLinks Links(Subscriber subscriber)
    {
        var token = tokens.Issue(UnsubscribePurpose, subscriber.Id);
        return new(
            sender.PublicBaseUrl is { } url
                ? $"{url.AbsoluteUri.TrimEnd('/')}/{UnsubscribePath}{token}"
                : null,
            $"{sender.OwnerLink}?subject=unsubscribe%20{token}"
        );
    }
}
