using System.IO.Compression;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A row of the outbox as Dapper reads it.</summary>
internal sealed class OutboxRow
{
    /// <summary>No message that we make comes near to it; damaged bytes may unpack to anything.</summary>
    private const int LargestContent = 32 * 1024 * 1024;

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
        using var packed = new MemoryStream();
        // The row lives for weeks at most; the time to pack it is paid for every message.
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest))
        {
            gzip.Write(content);
        }

        return packed.ToArray();
    }

    internal static byte[] Unzip(byte[] packed)
    {
        using var gzip = new GZipStream(new MemoryStream(packed), CompressionMode.Decompress);
        using var content = new MemoryStream();
        var buffer = new byte[16 * 1024];
        int count;
        while ((count = gzip.Read(buffer)) > 0)
        {
            content.Write(buffer, 0, count);
            if (content.Length > LargestContent)
            {
                throw new InvalidDataException(
                    $"the message unpacks to more than {LargestContent} bytes: none of ours does"
                );
            }
        }

        return content.ToArray();
    }
}
