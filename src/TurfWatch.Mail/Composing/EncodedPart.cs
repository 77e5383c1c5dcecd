using System.Text;
using MimeKit;

namespace TurfWatch.Mail.Composing;

/// <summary>A part of text that is in wire form already; MimeKit only writes it where it belongs.</summary>
/// <param name="subtype">plain or html.</param>
/// <param name="encoding">7bit or quoted-printable, as the text is.</param>
/// <param name="text">The text; disposed of with the part.</param>
internal sealed class EncodedPart(string subtype, string encoding, WireText text)
    : MimePart("text", subtype)
{
    public override void Prepare(EncodingConstraint constraint, int maxLineLength = 78)
    {
        // It is 7-bit with short lines already.
    }

    public override void WriteTo(
        FormatOptions options,
        Stream stream,
        bool contentOnly,
        CancellationToken cancellationToken = default
    )
    {
        if (!contentOnly)
        {
            stream.Write(
                Encoding.ASCII.GetBytes(
                    $"Content-Type: {ContentType.MimeType}; charset=utf-8\r\nContent-Transfer-Encoding: {encoding}\r\n\r\n"
                )
            );
        }

        stream.Write(text.Written);
        if (!contentOnly)
        {
            // The line end before a boundary is the boundary's (RFC 2046, 5.1.1); the text keeps its own.
            stream.Write("\r\n"u8);
        }
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            text.Dispose();
        }

        base.Dispose(disposing);
    }
}
