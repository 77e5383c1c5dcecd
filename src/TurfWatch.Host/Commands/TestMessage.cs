using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;

namespace TurfWatch.Host.Commands;

/// <summary>The message of <c>send-test</c>.</summary>
internal static class TestMessage
{
    public static OutboxMessage Make(SenderOptions sender, string address, Instant now)
    {
        var id = $"test-{now.ToUnixTimeMilliseconds()}@{sender.FromAddress.Split('@')[^1]}";
        using var mime = new MimeMessage
        {
            Subject = "TurfWatch test message",
            Date = now.ToDateTimeOffset(),
            MessageId = id,
            Body = new TextPart("plain")
            {
                Text = """
                    This is a test message from TurfWatch. Someone who runs the service asked for it.

                    It arrived, so mail gets through. There is nothing to do and nothing to unsubscribe
                    from: this message is sent once.

                    """,
            },
        };
        mime.From.Add(new MailboxAddress(sender.FromName, sender.FromAddress));
        mime.To.Add(MailboxAddress.Parse(address));
        mime.Headers.Add("Auto-Submitted", "auto-generated");
        mime.Prepare(EncodingConstraint.SevenBit);
        var format = FormatOptions.Default.Clone();
        format.NewLineFormat = NewLineFormat.Dos;
        using var bytes = new MemoryStream();
        mime.WriteTo(format, bytes);
        return new OutboxMessage
        {
            SubscriberId = 0,
            Kind = MessageKind.Test,
            Key = id,
            Recipient = address,
            EnvelopeSender = sender.FromAddress,
            MessageId = id,
            NotBefore = now,
            NotAfter = now + Duration.FromHours(1),
            Content = bytes.ToArray(),
        };
    }
}
