using MimeKit;
using MimeKit.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Charts;
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
        var pictures = new List<ChartPicture>();
        var view = MessageViewer.View(content, sender, links.Visible, Attached(pictures));
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
            Content = Write(view, pictures, links, content, subscriber, messageId),
        };
    }

    /// <summary>What the reader would see; without a subscriber the foot says that it is a preview.</summary>
    public ComposedParts Render(MessageContent content, Subscriber? subscriber = null)
    {
        var link = subscriber is null ? "" : Links(subscriber).Visible;
        var view = MessageViewer.View(content, sender, link, Inline);
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
        IReadOnlyList<ChartPicture> pictures,
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

        message.Body = Body(view, pictures, messageId);
        message.Prepare(EncodingConstraint.SevenBit);
        return Bytes(message, subscriber.Email);
    }

    private MultipartAlternative Body(
        MessageView view,
        IReadOnlyList<ChartPicture> pictures,
        string messageId
    )
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
        // Boundaries of our own, for MimeKit's are random and a retry must be the same bytes.
        var name = messageId.Split('@')[0];
        MimeEntity rich = html;
        if (pictures.Count > 0)
        {
            var related = new MultipartRelated { Root = html, Boundary = $"=_r{name}" };
            foreach (var picture in pictures)
            {
                related.Add(Part(picture));
            }

            rich = related;
        }

        return new(text, rich) { Boundary = $"=_{name}" };
    }

    private MimePart Part(ChartPicture picture) =>
        new("image", "png")
        {
            Content = new MimeContent(new MemoryStream(picture.Png)),
            ContentId = ContentId(picture),
            ContentDisposition = new(ContentDisposition.Inline)
            {
                FileName = $"{picture.Name}.png",
            },
            ContentTransferEncoding = ContentEncoding.Base64,
        };

    // Unique in the world as RFC 2392 asks, and the same for the same picture.
    private string ContentId(ChartPicture picture) => $"{picture.Name}@{sender.FromDomain}";

    /// <summary>Pictures go along with the message.</summary>
    private PictureMaker Attached(List<ChartPicture> pictures) =>
        (chart, say) =>
        {
            if (ChartStudio.Shared.Picture(chart, say) is not { } picture)
            {
                return "";
            }

            if (!pictures.Contains(picture))
            {
                pictures.Add(picture);
            }

            return $"cid:{ContentId(picture)}";
        };

    /// <summary>Pictures stand in the HTML itself, so that a file of it is whole.</summary>
    private string Inline(Chart chart, PhraseFormatter say) =>
        ChartStudio.Shared.Picture(chart, say) is { } picture
            ? $"data:image/png;base64,{Convert.ToBase64String(picture.Png)}"
            : "";

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
