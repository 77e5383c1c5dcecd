using System.Text;
using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail.Reading;

/// <summary>Reads what came in. Whatever it is, reading it never throws, and what is read of it is bounded.</summary>
public static class InboundReader
{
    private const int LongestSubject = 200;
    private const int LongestMessageId = 250;

    static InboundReader() => Encoding.RegisterProvider(CodePagesEncodingProvider.Instance);

    /// <param name="message">The bytes of the message, or as many of its first as were fetched.</param>
    /// <param name="receivedAt">When the mailbox got it.</param>
    /// <param name="ownDomains">The domains in our own Message-IDs.</param>
    public static InboundMail Read(
        byte[] message,
        Instant receivedAt,
        InboxOptions inbox,
        IReadOnlyCollection<string> ownDomains
    )
    {
        try
        {
            using var stream = new MemoryStream(message, writable: false);
            using var mime = MimeMessage.Load(stream);
            return Read(mime, receivedAt, inbox, ownDomains);
        }
        catch (FormatException)
        {
            return Malformed(receivedAt);
        }
    }

    /// <inheritdoc cref="Read(byte[], Instant, InboxOptions, IReadOnlyCollection{string})"/>
    public static InboundMail Read(
        MimeMessage message,
        Instant receivedAt,
        InboxOptions inbox,
        IReadOnlyCollection<string> ownDomains
    )
    {
        try
        {
            return Understand(message, receivedAt, inbox, ownDomains);
        }
#pragma warning disable CA1031 // What strangers write finds faults that nobody foresaw; one message must not stop the others.
        catch (Exception)
#pragma warning restore CA1031
        {
            return Malformed(receivedAt);
        }
    }

    /// <summary>What stands for a message of which nothing can be read.</summary>
    internal static InboundMail Malformed(Instant receivedAt) =>
        new()
        {
            Kind = InboundKind.Malformed,
            MessageId = "",
            From = "",
            ReceivedAt = receivedAt,
        };

    private static InboundMail Understand(
        MimeMessage message,
        Instant receivedAt,
        InboxOptions inbox,
        IReadOnlyCollection<string> ownDomains
    )
    {
        var from = From(message);
        var tokens = AddressTokens.Of(message, inbox);
        var text = OwnText.Of(message.Body);
        var complaint = ComplaintReports.Of(message, tokens, inbox);
        var report = complaint is null ? DeliveryReports.Of(message, text, tokens, inbox) : null;
        return new()
        {
            Kind =
                complaint is not null ? InboundKind.Complaint
                : report is not null ? InboundKind.Bounce
                : Robots.Wrote(message, inbox, ownDomains) ? InboundKind.Robot
                : from.Length == 0 ? InboundKind.Malformed
                : InboundKind.Person,
            MessageId = MessageId(message),
            ReceivedAt = receivedAt,
            From = from,
            ReplyToken = tokens.Count > 0 ? tokens[0] : null,
            Subject = Subject(message.Subject ?? ""),
            Lines = [.. ReplyText.OwnLines(text)],
            Bounce = report,
            Complaint = complaint,
        };
    }

    // Answers go to the address in From alone: one in Reply-To could be anybody's.
    private static string From(MimeMessage message) =>
        message.From.Mailboxes.FirstOrDefault() is { } first
            ? AddressRule.Check(first.Address ?? "").Normalised ?? ""
            : "";

    // Cut first: a single letter may carry any number of marks.
    private static string Subject(string text) =>
        PlainText
            .Clip(
                PlainText.OneLine(
                    text.Length <= 5 * LongestSubject ? text : text[..(5 * LongestSubject)]
                ),
                LongestSubject
            )
            .Replace(PlainText.NoBreak, ' ');

    private static string MessageId(MimeMessage message)
    {
        var id = message.MessageId ?? "";
        return id.Length <= LongestMessageId && id.All(c => c is > ' ' and < '\x7f') ? id : "";
    }
}
