using System.Collections.Concurrent;
using System.Net.Sockets;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;
using TurfWatch.Core;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Mail;

/// <summary>
/// Sends over SMTP. Connections are kept and used again; a kept one that turns out to be dead before the
/// body is out is replaced at once, for the message is then known not to be sent.
/// </summary>
/// <param name="options">The relay.</param>
/// <param name="time">The clock.</param>
/// <param name="signer">Signs what goes out; null when the relay does that, or nobody.</param>
public sealed class SmtpTransport(SmtpOptions options, TimeProvider time, DkimSigner? signer = null)
    : IMailTransport,
        IAsyncDisposable
{
    private readonly ConcurrentStack<SmtpConnection> _idle = new();
    private readonly SemaphoreSlim _slots = new(options.Connections);

    public async Task<SendOutcome> SendAsync(
        OutboxMessage message,
        CancellationToken cancellationToken
    )
    {
        if (
            !MailboxAddress.TryParse(message.Recipient, out var recipient)
            || !string.Equals(
                recipient.GetAddress(idnEncode: true),
                message.Recipient,
                StringComparison.Ordinal
            )
        )
        {
            return new SendOutcome.Permanent(
                "the recipient is not a bare mail address",
                HardBounce: false
            );
        }

        await _slots.WaitAsync(cancellationToken);
        try
        {
            var bytes = WireForm.Of(message.Content);
            var mime = WireMessage.Of(signer?.Sign(bytes) ?? bytes);
            // The empty return path of an answer to an answer (RFC 5321 4.5.5): nothing comes back to it.
            var sender =
                message.EnvelopeSender.Length == 0
                    ? new MailboxAddress("", "")
                    : MailboxAddress.Parse(message.EnvelopeSender);
            var (outcome, again) = await TryAsync(mime, sender, recipient, cancellationToken);
            if (again)
            {
                (outcome, _) = await TryAsync(mime, sender, recipient, cancellationToken);
            }

            WireMessage.Return(mime);
            return outcome;
        }
        finally
        {
            _slots.Release();
        }
    }

    /// <summary>Connects and logs in, and says what is wrong if that fails; sends nothing.</summary>
    public async Task<string?> CheckAsync(CancellationToken cancellationToken)
    {
        try
        {
            var connection = await SmtpConnection.OpenAsync(options, time, cancellationToken);
            await connection.CloseAsync(cancellationToken);
            return null;
        }
        catch (Exception e) when (SmtpFailure.IsExpected(e, cancellationToken))
        {
            return SmtpFailure.Explain(e, options);
        }
    }

    public async ValueTask DisposeAsync()
    {
        while (_idle.TryPop(out var connection))
        {
            await connection.CloseAsync(CancellationToken.None);
        }

        _slots.Dispose();
    }

    private async Task<(SendOutcome Outcome, bool Again)> TryAsync(
        MimeMessage message,
        MailboxAddress sender,
        MailboxAddress recipient,
        CancellationToken cancellationToken
    )
    {
        SmtpConnection connection;
        try
        {
            connection =
                await KeptAsync()
                ?? await SmtpConnection.OpenAsync(options, time, cancellationToken);
        }
        catch (Exception e) when (SmtpFailure.IsExpected(e, cancellationToken))
        {
            return (new SendOutcome.RelayDown(SmtpFailure.Explain(e, options)), false);
        }

        if (!recipient.LocalPart.All(char.IsAscii) && !connection.OffersUtf8)
        {
            _idle.Push(connection);
            return (
                new SendOutcome.Permanent(
                    "the relay does not offer SMTPUTF8 (RFC 6531), which an address with such letters before the @ needs",
                    HardBounce: false
                ),
                false
            );
        }

        var reused = connection.Reused;
        var progress = new TransferProgress();
        try
        {
            var reply = await connection.SendAsync(
                message,
                sender,
                recipient,
                progress,
                cancellationToken
            );
            _idle.Push(connection);
            return (new SendOutcome.Accepted(SmtpReplies.OneLine(reply)), false);
        }
        catch (SmtpCommandException e)
        {
            // An answer, so the outcome is known. MailKit has reset the transaction, unless the relay hung up.
            Keep(connection);
            var closing = e.StatusCode == SmtpStatusCode.ServiceNotAvailable;
            return (SmtpReplies.Classify(e), closing && reused && !progress.Complete);
        }
        catch (ServiceNotAuthenticatedException e)
        {
            connection.Dispose();
            return (
                new SendOutcome.RelayDown(
                    $"the relay asks for a login: {SmtpReplies.OneLine(e.Message)}"
                ),
                false
            );
        }
        catch (Exception e) when (progress.Complete)
        {
            connection.Dispose();
            return (
                new SendOutcome.Unknown(
                    $"no answer to the finished message: {SmtpReplies.OneLine(e.Message)}"
                ),
                false
            );
        }
        catch (Exception e) when (SmtpFailure.IsExpected(e, cancellationToken))
        {
            // RFC 5321 3.8: a lost connection is as if 451 had been answered.
            connection.Dispose();
            return (
                new SendOutcome.Temporary(
                    $"the connection failed before the message was out: {SmtpReplies.OneLine(e.Message)}",
                    null
                ),
                reused
            );
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    private async Task<SmtpConnection?> KeptAsync()
    {
        while (_idle.TryPop(out var connection))
        {
            if (connection.Usable)
            {
                return connection;
            }

            await connection.CloseAsync(CancellationToken.None);
        }

        return null;
    }

    private void Keep(SmtpConnection connection)
    {
        if (connection.Usable)
        {
            _idle.Push(connection);
        }
        else
        {
            connection.Dispose();
        }
    }
}
