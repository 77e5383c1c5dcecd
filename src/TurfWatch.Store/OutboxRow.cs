using System.Buffers.Binary;
using System.IO.Compression;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A row of the outbox as Dapper reads it.</summary>
internal sealed class OutboxRow
{
    /// <summary>No message that we make comes near to it; damaged bytes may unpack to anything.</summary>
    private const int LargestContent = 32 * 1024 * 1024;

    /// <summary>A header of ten bytes, an empty block of two, and eight bytes at the end (RFC 1952, 2.3).</summary>
    private const int LeastPacked = 20;

    /// <summary>Deflate makes nothing smaller than by this: a longest match of 258 bytes in two bits (RFC 1951, 3.2.5).</summary>
    private const int MostPacking = 1032;

    /// <summary>All but the content, which is in a table of its own.</summary>
    public const string ColumnsWithoutContent = """
        id AS Id, subscriber_id AS SubscriberId, kind AS Kind, key AS Key, recipient AS Recipient,
        envelope_sender AS EnvelopeSender, message_id AS MessageId, not_before AS NotBefore, not_after AS NotAfter,
        state AS State, attempts AS Attempts, fence AS Fence, last_reply AS LastReply
        """;

    public const string Columns =
        ColumnsWithoutContent
        + ", (SELECT c.content FROM outbox_content AS c WHERE c.outbox_id = outbox.id) AS Content";

    public long Id { get; init; }

    public long SubscriberId { get; init; }

    public string Kind { get; init; } = "";

    public string Key { get; init; } = "";

    public string Recipient { get; init; } = "";

    public string EnvelopeSender { get; init; } = "";

    public string MessageId { get; init; } = "";

    public long NotBefore { get; init; }

    public long NotAfter { get; init; }

    public byte[]? Content { get; init; }

    public string State { get; init; } = "";

    public long Attempts { get; init; }

    public long Fence { get; init; }

    public string? LastReply { get; init; }

    public OutboxMessage Noun() =>
        new()
        {
            Id = Id,
            SubscriberId = SubscriberId,
            Kind = Enum.Parse<MessageKind>(Kind),
            Key = Key,
            Recipient = Recipient,
            EnvelopeSender = EnvelopeSender,
            MessageId = MessageId,
            NotBefore = Stored.At(NotBefore),
            NotAfter = Stored.At(NotAfter),
            Content = Content is null ? [] : Unzip(Content),
            State = Enum.Parse<OutboxState>(State),
            Attempts = (int)Attempts,
            Fence = Fence,
            LastReply = LastReply,
        };

    public static byte[] Zip(byte[] content)
    {
        using var packed = new MemoryStream(content.Length / 3 + 64);
        // The row lives for weeks at most; the time to pack it is paid for every message.
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            gzip.Write(content);
        }

        return packed.ToArray();
    }

    /// <exception cref="InvalidDataException">These are not the bytes of <see cref="Zip"/>, or they unpack to more than any message has.</exception>
    internal static byte[] Unzip(byte[] packed)
    {
        // The last four bytes say the length (RFC 1952, 2.3.1), so that the message is read into its place at once.
        var length =
            packed.Length < LeastPacked
                ? 0
                : BinaryPrimitives.ReadUInt32LittleEndian(packed.AsSpan(^4));
        if (length > Math.Min(LargestContent, (long)packed.Length * MostPacking))
        {
            throw new InvalidDataException(
                $"the message unpacks to more than {LargestContent} bytes, or its bytes are damaged: none of ours does"
            );
        }

        using var gzip = new GZipStream(new MemoryStream(packed), CompressionMode.Decompress);
        var content = new byte[length];
        if (
            gzip.ReadAtLeast(content, content.Length, throwOnEndOfStream: false) < content.Length
            || gzip.ReadByte() >= 0
        )
        {
            throw new InvalidDataException(
                $"the message does not unpack to the {length} bytes that it is said to have: its bytes are damaged"
            );
        }

        return content;
    }
}
