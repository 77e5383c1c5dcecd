using MailKit.Net.Smtp;
using MimeKit;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Mail;

/// <summary>MailKit's client, which need not write our messages once for nothing to learn how long they are.</summary>
internal sealed class WireClient : SmtpClient
{
    protected override long GetSize(
        FormatOptions options,
        MimeMessage message,
        CancellationToken cancellationToken
    ) => WireMessage.SizeOf(message);

    protected override Task<long> GetSizeAsync(
        FormatOptions options,
        MimeMessage message,
        CancellationToken cancellationToken
    ) => Task.FromResult(WireMessage.SizeOf(message));
}
