using System.Net.Sockets;
using MailKit;
using MailKit.Net.Smtp;
using MimeKit;

namespace TurfWatch.Mail;

/// <summary>One open, greeted, logged-in connection to the relay.</summary>
internal sealed class SmtpConnection : IDisposable
{
    private readonly SmtpOptions _options;
    private readonly TimeProvider _time;
    private readonly WireClient _client;
    private readonly ReplyLimitStream _stream;
    private readonly GatheredStream _gathered;
    private long _lastUsed;
    private int _messages;

    private SmtpConnection(
        SmtpOptions options,
        TimeProvider time,
        WireClient client,
        ReplyLimitStream stream,
        GatheredStream gathered
    )
    {
        (_options, _time, _client, _stream, _gathered) = (options, time, client, stream, gathered);
        _lastUsed = time.GetTimestamp();
    }

    /// <summary>Fit for one more message, as far as one can tell without asking the relay.</summary>
    public bool Usable =>
        _client.IsConnected
        && _messages < _options.MessagesPerConnection
        && _time.GetElapsedTime(_lastUsed) < _options.IdleTimeout
        && !_stream.Spent;

    /// <summary>A message went over this connection before.</summary>
    public bool Reused => _messages > 0;

    public bool OffersUtf8 => _client.Capabilities.HasFlag(SmtpCapabilities.UTF8);

    public static Task<SmtpConnection> OpenAsync(
        SmtpOptions options,
        TimeProvider time,
        CancellationToken cancellationToken
    )
    {
        var client = new WireClient
        {
            Timeout = (int)options.CommandTimeout.TotalMilliseconds,
            CheckCertificateRevocation = options.CheckCertificateRevocation,
        };
        return MailServer.OpenAsync(
            client,
            options.ConnectTimeout,
            async (socket, limit) =>
            {
                PrivateAuthority.Trust(client, options.CaFile);
                await socket.ConnectAsync(options.Host, options.EffectivePort, limit);
                var stream = new ReplyLimitStream(socket);
                var gathered = new GatheredStream(stream);
                await client.ConnectAsync(
                    gathered,
                    options.Host,
                    options.EffectivePort,
                    options.Security.ToMailKit(),
                    limit
                );
                if (options.Username.Length > 0)
                {
                    await client.AuthenticateAsync(
                        options.Username,
                        MailServer.Password(options.Password, options.PasswordFile),
                        limit
                    );
                }

                return new SmtpConnection(options, time, client, stream, gathered);
            },
            cancellationToken
        );
    }

    /// <summary>One transaction. <paramref name="progress"/> tells afterwards how far it came.</summary>
    public async Task<string> SendAsync(
        MimeMessage message,
        MailboxAddress sender,
        MailboxAddress recipient,
        TransferProgress progress,
        CancellationToken cancellationToken
    )
    {
        _messages++;
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        // Trickled answers never reach the time limit of a single read; this bounds MAIL, RCPT, DATA and body together.
        limit.CancelAfter(_options.CommandTimeout * 4);
        _client.Timeout = (int)_options.CommandTimeout.TotalMilliseconds;
        progress.Unsent = () => _gathered.Unsent > 0;
        progress.BodyOut = () =>
        {
            // What is still to be sent is to be taken as soon as ever; only the answer may take its time.
            _stream.ReadTimeout = (int)_options.FinalReplyTimeout.TotalMilliseconds;
            limit.CancelAfter(_options.FinalReplyTimeout + TimeSpan.FromSeconds(1));
        };
        try
        {
            var format = FormatOptions.Default.Clone();
            format.NewLineFormat = NewLineFormat.Dos;
            format.International = !recipient.LocalPart.All(char.IsAscii);
            var reply = await _client.SendAsync(
                format,
                message,
                sender,
                [recipient],
                limit.Token,
                progress
            );
            _lastUsed = _time.GetTimestamp();
            return reply;
        }
        catch (OperationCanceledException e) when (!cancellationToken.IsCancellationRequested)
        {
            throw new TimeoutException("the relay answers too slowly", e);
        }
    }

    public async Task CloseAsync(CancellationToken cancellationToken)
    {
        try
        {
            if (_client.IsConnected && !_stream.Spent)
            {
                _client.Timeout = 2000;
                await _client.DisconnectAsync(quit: true, cancellationToken);
            }
        }
        catch (Exception e)
            when (e
                    is IOException
                        or SocketException
                        or TimeoutException
                        or ProtocolException
                        or CommandException
                        or OperationCanceledException
            )
        {
            // A good-bye that nobody hears.
        }

        Dispose();
    }

    public void Dispose()
    {
        _client.Dispose();
        _gathered.Dispose();
    }
}
