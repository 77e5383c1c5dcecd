using MimeKit;
using TurfWatch.Core;
using TurfWatch.Mail.Charts;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail;

/// <content>The body: text, HTML and the pictures in it.</content>
public sealed partial class MessageComposer
{
    private MultipartAlternative Body(
        MessageView view,
        IReadOnlyList<ChartPicture> pictures,
        string messageId
    )
    {
        var text = new EncodedPart(
            "plain",
            "quoted-printable",
            QuotedPrintable.Write(PlainTextPart.Write(view))
        );
        var html = HtmlPart.Wire(view) is { } lines
            ? new EncodedPart("html", "7bit", lines)
            : new("html", "quoted-printable", QuotedPrintable.Write(HtmlPart.Write(view)));
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
}
