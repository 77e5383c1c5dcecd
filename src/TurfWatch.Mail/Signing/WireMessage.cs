using System.Collections.Concurrent;
using MimeKit;

namespace TurfWatch.Mail.Signing;

/// <summary>
/// A message that MailKit sends byte for byte. MailKit takes only parsed messages and may encode them anew for the relay;
/// one that was signed, or that must be the same at every try, must not change on the way out. Nor is it parsed, which
/// would cost as much as sending it.
/// </summary>
internal static class WireMessage
{
    /// <summary>So much of a body is written at a time, so that one notices soon when nobody takes it.</summary>
    private const int Piece = 16 * 1024;

    // A new one draws a date and a Message-ID, which ours do not want. Of one that is used again, only the header fields and the
    // body are written, and both are set anew. There are as many as there are connections.
    private static readonly ConcurrentBag<MimeMessage> Spare = [];

    /// <summary>A message to be sent; give it back by <see cref="Return"/>.</summary>
    /// <param name="bytes">The message in wire form, see <see cref="WireForm"/>.</param>
    public static MimeMessage Of(byte[] bytes)
    {
        var fields = WireForm.Fields(bytes, out var bodyAt);
        var body = new WireBody(bytes.AsMemory(bodyAt));
        var message = Spare.TryTake(out var spare) ? spare : new MimeMessage();
        message.Body = body;
        body.Headers.Clear();
        message.Headers.Clear();
        long size = 2 + bytes.Length - bodyAt;
        foreach (var field in fields)
        {
            var (at, length) = field.GetOffsetAndLength(bytes.Length);
            if (Header.TryParse(bytes, at, length + 2, out var header))
            {
                // Says that this form is meant, also to a relay that takes UTF-8.
                header.SetRawValue(header.RawValue);
                message.Headers.Add(header);
                size += header.Field.Length + 1 + header.RawValue.Length;
            }
        }

        body.MessageSize = size;
        return message;
    }

    /// <summary>Takes back a message made here that nobody looks at any more.</summary>
    public static void Return(MimeMessage message)
    {
        message.Headers.Clear();
        message.Body = null;
        Spare.Add(message);
    }

    /// <summary>Bytes of a message made here, as it is written: never more than that, for with the last of them it counts as out.</summary>
    public static long SizeOf(MimeMessage message) => ((WireBody)message.Body!).MessageSize;

    private sealed class WireBody(ReadOnlyMemory<byte> bytes) : MimePart
    {
        public long MessageSize { get; set; }

        public override void Prepare(EncodingConstraint constraint, int maxLineLength = 78)
        {
            // It is 7-bit with short lines already: the composer made it so.
        }

        public override void WriteTo(
            FormatOptions options,
            Stream stream,
            bool contentOnly,
            CancellationToken cancellationToken = default
        ) => stream.Write(bytes.Span);

        public override async Task WriteToAsync(
            FormatOptions options,
            Stream stream,
            bool contentOnly,
            CancellationToken cancellationToken = default
        )
        {
            for (var at = 0; at < bytes.Length; at += Piece)
            {
                await stream.WriteAsync(
                    bytes.Slice(at, Math.Min(Piece, bytes.Length - at)),
                    cancellationToken
                );
            }
        }
    }
}
