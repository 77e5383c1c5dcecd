using System.Net.Sockets;
using System.Security.Cryptography;
using MailKit;
using MailKit.Net.Imap;
using MailKit.Security;

namespace TurfWatch.Mail.Reading;

/// <summary>The mailbox cannot be read now; the message says why, to whoever runs the service.</summary>
public sealed class MailboxException(string message, Exception inner) : Exception(message, inner);

/// <summary>What can go wrong between us and the mailbox, and how to say it.</summary>
internal static class ImapFailure
{
    public static bool IsExpected(Exception e, CancellationToken cancellationToken) =>
        e
            is IOException
                or SocketException
                or TimeoutException
                or ProtocolException
                or CommandException
                or AuthenticationException
                or SslHandshakeException
                or ServiceNotConnectedException
                or ServiceNotAuthenticatedException
                or FolderNotOpenException
                or FolderNotFoundException
                or NotSupportedException
                or UnauthorizedAccessException
                or CryptographicException
                // The library stumbles over answers that no server should give.
                or ArgumentException
                or FormatException
                or InvalidOperationException
        || (e is OperationCanceledException && !cancellationToken.IsCancellationRequested);

    public static string Explain(Exception e, InboxOptions options)
    {
        var server = $"the mailbox at {options.Host}:{options.EffectivePort}";
        var detail = SmtpReplies.OneLine(e.Message);
        return e switch
        {
            SslHandshakeException =>
                $"{server} shows a certificate that cannot be trusted, or no TLS at all: {detail} (a private authority goes into {InboxOptions.Section}:CaFile)",
            AuthenticationException =>
                $"{server} refused the login of '{SmtpReplies.OneLine(options.Username)}': {LoginText.Struck(detail, options.Password, options.PasswordFile)} (check {InboxOptions.Section}:Username and PasswordFile)",
            NotSupportedException when options.Security == MailSecurity.StartTls =>
                $"{server} does not offer STARTTLS, so no login was sent; set {InboxOptions.Section}:Security to Tls if it speaks TLS from the first byte",
            CryptographicException =>
                $"{InboxOptions.Section}:CaFile is '{options.CaFile}', which holds no certificate (PEM): {detail}",
            FolderNotFoundException =>
                $"{server} has no folder '{options.Folder}'; check {InboxOptions.Section}:Folder",
            SocketException => $"{server} cannot be reached: {detail}",
            TimeoutException or OperationCanceledException =>
                $"{server} did not answer in time: {detail}",
            UnauthorizedAccessException or FileNotFoundException or DirectoryNotFoundException =>
                $"a file named in {InboxOptions.Section} cannot be read: {detail}",
            ReplyTooLongException => $"{server} says more than it was asked: {detail}",
            ServiceNotConnectedException or IOException or ImapProtocolException =>
                $"{server} closed the connection: {detail}",
            _ => $"{server} did not answer as an IMAP server should: {detail}",
        };
    }
}
