using System.Text;
using MimeKit;

namespace TurfWatch.Mail.Reading;

/// <summary>The text of a message: its first text part, or its first HTML part as text when there is none. Attachments and forwarded messages are left out.</summary>
internal static class OwnText
{
    /// <summary>So much of a part is read [bytes, decoded].</summary>
    public const int MostBytes = 64 * 1024;

    private const int MostParts = 200;
    private const int Deepest = 20;

    public static string Of(MimeEntity? body)
    {
        var parts = Texts(body).ToList();
        var plain = parts.Find(p => p.IsPlain);
        var text = plain is null ? "" : Unflowed(plain, Decoded(plain));
        return string.IsNullOrWhiteSpace(text) && parts.Find(p => p.IsHtml) is { } html
            ? HtmlText.Of(Decoded(html))
            : text;
    }

    /// <summary>The text parts that show in the message itself, in their order.</summary>
    private static IEnumerable<TextPart> Texts(MimeEntity? body)
    {
        var open = new Stack<(MimeEntity? Entity, int Depth)>();
        open.Push((body, 0));
        for (var seen = 0; seen < MostParts && open.TryPop(out var next); seen++)
        {
            switch (next.Entity)
            {
                case Multipart multipart when next.Depth < Deepest:
                    foreach (var child in multipart.Take(MostParts).Reverse())
                    {
                        open.Push((child, next.Depth + 1));
                    }

                    break;
                case TextPart { IsAttachment: false } text:
                    yield return text;
                    break;
            }
        }
    }

    internal static string Decoded(MimePart part)
    {
        if (part.Content is null)
        {
            return "";
        }

        using var content = part.Content.Open();
        var bytes = new byte[MostBytes];
        var count = content.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false);
        return Letters(bytes.AsSpan(0, count), part.ContentType.Charset);
    }

    // A charset that nobody knows, or none, is taken for UTF-8, and for Windows' Latin when it is not.
    private static string Letters(ReadOnlySpan<byte> bytes, string? charset)
    {
        if (Known(charset) is { } encoding)
        {
            return encoding.GetString(bytes);
        }

        var text = Encoding.UTF8.GetString(bytes);
        // The limit may cut the last letter in two.
        return text.AsSpan(0, Math.Max(0, text.Length - 2)).Contains('\ufffd')
            ? Encoding.GetEncoding(1252).GetString(bytes)
            : text;
    }

    private static Encoding? Known(string? charset)
    {
        if (
            string.IsNullOrWhiteSpace(charset)
            || charset.Trim().ToLowerInvariant() is "us-ascii" or "ascii" or "utf-8" or "utf8"
        )
        {
            return null;
        }

        try
        {
            return Encoding.GetEncoding(charset.Trim());
        }
        catch (Exception e) when (e is ArgumentException or NotSupportedException)
        {
            return null;
        }
    }

    /// <summary>Lines that a mail program broke for the way only are joined again (RFC 3676 4.2).</summary>
    private static string Unflowed(TextPart part, string text)
    {
        if (
            !string.Equals(
                part.ContentType.Parameters["format"],
                "flowed",
                StringComparison.OrdinalIgnoreCase
            )
        )
        {
            return text;
        }

        var joined = new StringBuilder(text.Length);
        var loses = string.Equals(
            part.ContentType.Parameters["delsp"],
            "yes",
            StringComparison.OrdinalIgnoreCase
        );
        foreach (var line in text.ReplaceLineEndings("\n").Split('\n'))
        {
            var flows = line.EndsWith(' ') && line is not "-- " && !line.StartsWith('>');
            joined.Append(flows && loses ? line[..^1] : line);
            if (!flows)
            {
                joined.Append('\n');
            }
        }

        return joined.ToString();
    }
}
