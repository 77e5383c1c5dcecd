using MimeKit;
using MimeKit.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail;

/// <summary>Turns a briefing into a message.</summary>
public sealed class MessageComposer(SenderOptions sender, LinkTokens tokens)
{
    /// <summary>Purpose of the tokens in unsubscribe links.</summary>
    public const string UnsubscribePurpose = "unsubscribe";

    /// <summary>Path of unsubscribe links under the public base address; the token follows.</summary>
    public const string UnsubscribePath = "u/";

    /// <summary>
    /// The message as a row for the outbox, complete as it will go over the wire. The same input gives the
    /// same bytes: the Message-ID follows from subscriber, kind and key, the date is the briefing's.
    /// </summary>
    /// <param name="key">What makes the message unique for the subscriber and kind, see <see cref="OutboxMessage.Key"/>.</param>
    public OutboxMessage Compose(
        Briefing briefing,
        Subscriber subscriber,
        string key,
        Instant notBefore,
        Instant notAfter
    )
    {
        var links = Links(subscriber);
        var view = MessageViewer.View(briefing, sender, links.Visible);
        var name = tokens.StableName($"{subscriber.Id}|{briefing.Kind}|{key}");
        var messageId = $"{name}@{sender.FromDomain}";
        return new()
        {
            SubscriberId = subscriber.Id,
            Kind = briefing.Kind,
            Key = key,
            Recipient = subscriber.Email,
            EnvelopeSender = sender.FromAddress,
            MessageId = messageId,
            NotBefore = notBefore,
            NotAfter = notAfter,
            Content = Write(view, links, briefing, subscriber, messageId),
        };
    }

    /// <summary>What the reader would see; without a subscriber the foot says that it is a preview.</summary>
    public ComposedParts Render(Briefing briefing, Subscriber? subscriber = null)
    {
        var link = subscriber is null ? "" : Links(subscriber).Visible;
        var view = MessageViewer.View(briefing, sender, link);
        return new(view.Subject, PlainTextPart.Write(view), HtmlPart.Write(view));
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
        Briefing briefing,
        Subscriber subscriber,
        string messageId
    )
    {
        using var message = new MimeMessage();
        message.Headers.Clear();
        message.From.Add(new MailboxAddress(view.Sender, sender.FromAddress));
        message.To.Add(new MailboxAddress("", subscriber.Email));
        message.ReplyTo.Add(new MailboxAddress("", sender.Reply));
        message.Subject = view.Subject;
        message.Date = briefing.MadeAt.InZone(briefing.Lawn.Place.Zone).ToDateTimeOffset();
        message.MessageId = messageId;
        ListHeaders.Add(message.Headers, sender, links);
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
