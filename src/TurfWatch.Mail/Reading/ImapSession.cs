using System.Net.Sockets;
using MailKit;
using MailKit.Net.Imap;
using MailKit.Search;
using NodaTime;

namespace TurfWatch.Mail.Reading;

/// <summary>One open, logged-in connection to the mailbox with its folder open.</summary>
internal sealed class ImapSession : IDisposable
{
    /// <summary>Beside a message: the numbers of all messages in a folder of 100,000, or what is announced while we wait.</summary>
    private const int ListBytes = 1024 * 1024;

    private readonly InboxOptions _options;
    private readonly ImapClient _client;
    private readonly Dictionary<string, IMailFolder> _targets = new(StringComparer.Ordinal);
    private readonly IMailFolder _folder;
    private readonly ReplyLimitStream _stream;
    private volatile bool _changed;
    private CancellationTokenSource? _idle;

    private ImapSession(
        InboxOptions options,
        ImapClient client,
        IMailFolder folder,
        ReplyLimitStream stream
    )
    {
        (_options, _client, _folder, _stream) = (options, client, folder, stream);
        _folder.CountChanged += (_, _) => Changed();
    }

    public bool Usable => _client.IsConnected && _client.IsAuthenticated && _folder.IsOpen;

    public bool CanIdle => _client.Capabilities.HasFlag(ImapCapabilities.Idle);

    public uint Validity => _folder.UidValidity;

    public static Task<ImapSession> OpenAsync(
        InboxOptions options,
        CancellationToken cancellationToken
    )
    {
        var client = new ImapClient
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
                var stream = new ReplyLimitStream(
                    socket,
                    "the mailbox",
                    options.MaxKilobytes * 1024 + ListBytes
                );
                await client.ConnectAsync(
                    stream,
                    options.Host,
                    options.EffectivePort,
                    options.Security.ToMailKit(),
                    limit
                );
                await client.AuthenticateAsync(
                    options.Username,
                    MailServer.Password(options.Password, options.PasswordFile),
                    limit
                );
                var folder = await client.GetFolderAsync(options.Folder, limit);
                await folder.OpenAsync(FolderAccess.ReadWrite, limit);
                return new ImapSession(options, client, folder, stream);
            },
            cancellationToken
        );
    }

    /// <summary>The numbers of all messages in the folder.</summary>
    public async Task<IList<UniqueId>> UidsAsync(CancellationToken cancellationToken)
    {
        _changed = false;
        // Also tells the server's news that came since the last command.
        await _client.NoOpAsync(cancellationToken);
        return await _folder.SearchAsync(SearchQuery.NotDeleted, cancellationToken);
    }

    /// <summary>The first part of one message; null when it is gone, empty when the server will not give it.</summary>
    public async Task<(byte[] Bytes, Instant? ReceivedAt)?> FetchAsync(
        UniqueId uid,
        CancellationToken cancellationToken
    )
    {
        var found = await _folder.FetchAsync(
            [uid],
            MessageSummaryItems.UniqueId | MessageSummaryItems.InternalDate,
            cancellationToken
        );
        if (found.FirstOrDefault(f => f.UniqueId.Id == uid.Id) is not { } summary)
        {
            return null;
        }

        var receivedAt = summary.InternalDate is { } date
            ? Instant.FromDateTimeOffset(date)
            : (Instant?)null;
        try
        {
            // The size is limited here, before anything is fetched.
            await using var stream = await _folder.GetStreamAsync(
                uid,
                0,
                _options.MaxKilobytes * 1024,
                cancellationToken
            );
            using var bytes = new MemoryStream();
            await stream.CopyToAsync(bytes, cancellationToken);
            return (bytes.ToArray(), receivedAt);
        }
        catch (MessageNotFoundException)
        {
            return null;
        }
        catch (ImapCommandException e) when (e.Response == ImapCommandResponse.No)
        {
            return ([], receivedAt);
        }
    }

    /// <summary>Moves one message to a folder, which is made when it does not exist.</summary>
    public async Task MoveAsync(uint uid, string target, CancellationToken cancellationToken)
    {
        if (!_targets.TryGetValue(target, out var folder))
        {
            folder = await FindOrMakeAsync(target, cancellationToken);
            _targets[target] = folder;
        }

        await _folder.MoveToAsync([new UniqueId(Validity, uid)], folder, cancellationToken);
    }

    /// <summary>Waits until the server announces something, or for so long.</summary>
    public async Task<bool> IdleAsync(
        TimeSpan atMost,
        TimeProvider time,
        CancellationToken cancellationToken
    )
    {
        using var done = new CancellationTokenSource(atMost, time);
        _idle = done;
        try
        {
            if (!_changed)
            {
                // Silence is what is waited through here.
                _client.Timeout = (int)(atMost + _options.CommandTimeout).TotalMilliseconds;
                await _client.IdleAsync(done.Token, cancellationToken);
            }
        }
        finally
        {
            _client.Timeout = (int)_options.CommandTimeout.TotalMilliseconds;
            _idle = null;
        }

        return _changed;
    }

    /// <summary>Asks the server whether there is news; for those that cannot announce it.</summary>
    public async Task<bool> PollAsync(CancellationToken cancellationToken)
    {
        if (!_changed)
        {
            await _client.NoOpAsync(cancellationToken);
        }

        return _changed;
    }

    public async Task CloseAsync()
    {
        try
        {
            if (_client.IsConnected)
            {
                _client.Timeout = 2000;
                await _client.DisconnectAsync(quit: true, CancellationToken.None);
            }
        }
        catch (Exception e) when (ImapFailure.IsExpected(e, CancellationToken.None))
        {
            // A good-bye that nobody hears.
        }

        Dispose();
    }

    public void Dispose()
    {
        _client.Dispose();
        _stream.Dispose();
    }

    private void Changed()
    {
        _changed = true;
        try
        {
            _idle?.Cancel();
        }
        catch (ObjectDisposedException)
        {
            // The wait ended at this moment by itself.
        }
    }

    private async Task<IMailFolder> FindOrMakeAsync(
        string name,
        CancellationToken cancellationToken
    )
    {
        try
        {
            return await _client.GetFolderAsync(name, cancellationToken);
        }
        catch (FolderNotFoundException)
        {
            var root = await RootAsync(cancellationToken);
            var made = await root.CreateAsync(name, isMessageFolder: true, cancellationToken);
            await made!.SubscribeAsync(cancellationToken);
            return made;
        }
    }

    // Some servers keep all of a person's folders below INBOX.
    private async Task<IMailFolder> RootAsync(CancellationToken cancellationToken) =>
        _client.PersonalNamespaces.Count > 0
            ? _client.GetFolder(_client.PersonalNamespaces[0])
            : await _client.GetFolderAsync("", cancellationToken);
}
