using System.Net.Sockets;
using System.Security.Cryptography;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;

namespace TurfWatch.Mail;

/// <summary>What can go wrong between us and a relay, and how to say it to whoever runs the service.</summary>
internal static class SmtpFailure
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
                or ServiceNotAuthenticatedException
                or NotSupportedException
                or UnauthorizedAccessException
                or CryptographicException
        || (e is OperationCanceledException && !cancellationToken.IsCancellationRequested);

    public static string Explain(Exception e, SmtpOptions options)
    {
        var relay = $"the relay {options.Host}:{options.EffectivePort}";
        var detail = SmtpReplies.OneLine(e.Message);
        return e switch
        {
            SslHandshakeException =>
                $"{relay} shows a certificate that cannot be trusted, or no TLS at all: {detail} (a private authority goes into {SmtpOptions.Section}:CaFile)",
            AuthenticationException
            or SmtpCommandException
            {
                StatusCode: SmtpStatusCode.AuthenticationInvalidCredentials
                    or SmtpStatusCode.AuthenticationMechanismTooWeak
            } =>
                $"{relay} refused the login of '{SmtpReplies.OneLine(options.Username)}': {LoginText.Struck(detail, options.Password, options.PasswordFile)} (check {SmtpOptions.Section}:Username and PasswordFile)",
            NotSupportedException
                when options.Security == MailSecurity.StartTls
                    && !detail.Contains("authentication", StringComparison.OrdinalIgnoreCase) =>
                $"{relay} does not offer STARTTLS, so nothing was sent to it; set {SmtpOptions.Section}:Security to Tls if it speaks TLS from the first byte",
            NotSupportedException => $"{relay} offers no way to log in that we know: {detail}",
            CryptographicException =>
                $"{SmtpOptions.Section}:CaFile is '{options.CaFile}', which holds no certificate (PEM): {detail}",
            SocketException => $"{relay} cannot be reached: {detail}",
            SmtpCommandException command =>
                $"{relay} turned us away: {(int)command.StatusCode} {detail}",
            UnauthorizedAccessException or FileNotFoundException or DirectoryNotFoundException =>
                $"a file named in {SmtpOptions.Section} cannot be read: {detail}",
            _ => $"{relay} did not answer as an SMTP server should: {detail}",
        };
    }
}
