using System.Runtime.CompilerServices;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Reading;

/// <summary>Where a message lies in the mailbox: its number, good for as long as the mailbox keeps its numbering (RFC 3501 2.3.1.1).</summary>
/// <param name="Validity">UIDVALIDITY of the folder.</param>
/// <param name="Uid">UID in the folder.</param>
public readonly record struct MailboxPosition(uint Validity, uint Uid);

/// <summary>
/// The mailbox, read over IMAP. For one caller at a time. What lies in the folder is new; what is settled is moved to
/// other folders, and nothing is ever deleted. A message that was handed out and not settled is handed out again, so
/// the caller keeps a ledger. After a failure the server is left alone for a while that doubles each time.
/// </summary>
public sealed class ImapMailbox(InboxOptions options, SenderOptions sender, TimeProvider time)
    : IAsyncDisposable
{
    private ImapSession? _session;
    private DateTimeOffset _leaveAloneUntil = DateTimeOffset.MinValue;
    private TimeSpan? _pause;

    /// <summary>How long the server is left alone after the first failure.</summary>
    internal TimeSpan FirstPause { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Why the mailbox cannot be read at present, in one sentence; null when it can.</summary>
    public string? Down { get; private set; }

    /// <summary>The messages in the folder, the oldest first; none while the server is left alone after a failure.</summary>
    /// <exception cref="MailboxException">The server failed. Messages not handed out yet will be the next time.</exception>
    public async IAsyncEnumerable<(MailboxPosition Position, InboundMail Mail)> NewAsync(
        [EnumeratorCancellation] CancellationToken cancellationToken
    )
    {
        if (time.GetUtcNow() < _leaveAloneUntil)
        {
            yield break;
        }

        var (validity, uids) = await GuardAsync(
            async s => (s.Validity, await s.UidsAsync(cancellationToken)),
            cancellationToken
        );
        foreach (var uid in uids)
        {
            var found = await GuardAsync(
                async s =>
                    // A new connection may find the folder numbered anew.
                    s.Validity == validity
                        ? await s.FetchAsync(uid, cancellationToken)
                        : null,
                cancellationToken
            );
            if (found is var (bytes, receivedAt))
            {
                yield return (
                    new(validity, uid.Id),
                    InboundReader.Read(
                        bytes,
                        receivedAt ?? Instant.FromDateTimeOffset(time.GetUtcNow()),
                        options,
                        [sender.FromDomain]
                    )
                );
            }
        }
    }

    /// <summary>
    /// Moves a message away from the new ones. Does nothing when the folder was numbered anew since: the message will
    /// be handed out under its new number.
    /// </summary>
    /// <param name="understood">It was acted on; else it goes where a person may look at it.</param>
    /// <exception cref="MailboxException">The server failed; the message stays and will be handed out again.</exception>
    public Task SettleAsync(
        MailboxPosition position,
        bool understood,
        CancellationToken cancellationToken
    ) =>
        GuardAsync(
            async s =>
            {
                if (s.Validity == position.Validity)
                {
                    await s.MoveAsync(
                        position.Uid,
                        understood ? options.DoneFolder : options.NotUnderstoodFolder,
                        cancellationToken
                    );
                }

                return true;
            },
            cancellationToken
        );

    /// <summary>
    /// Waits until new mail is announced, or for so long. Never throws for what the server does: it waits the time out.
    /// </summary>
    /// <returns>New mail was announced.</returns>
    public async Task<bool> WaitAsync(TimeSpan timeout, CancellationToken cancellationToken)
    {
        var until = time.GetUtcNow() + timeout;
        while (until - time.GetUtcNow() is var left && left > TimeSpan.Zero)
        {
            if (_session is not { Usable: true } session)
            {
                // Whoever asks next connects anew. Timers drop parts of a millisecond: one more, or they wake too early.
                var alone = _leaveAloneUntil - time.GetUtcNow() + TimeSpan.FromMilliseconds(1);
                await Task.Delay(
                    alone > TimeSpan.Zero && alone < left ? alone : left,
                    time,
                    cancellationToken
                );
                return false;
            }

            try
            {
                if (session.CanIdle)
                {
                    if (
                        await session.IdleAsync(
                            Shorter(left, InboxOptions.LongestIdle),
                            time,
                            cancellationToken
                        )
                    )
                    {
                        return true;
                    }
                }
                else
                {
                    await Task.Delay(Shorter(left, options.PollEvery), time, cancellationToken);
                    if (await session.PollAsync(cancellationToken))
                    {
                        return true;
                    }
                }
            }
            catch (Exception e) when (ImapFailure.IsExpected(e, cancellationToken))
            {
                Failed(e);
                return false;
            }
        }

        return false;
    }

    /// <summary>Connects, logs in and opens the folder, and says what is wrong if that fails; reads nothing.</summary>
    public async Task<string?> CheckAsync(CancellationToken cancellationToken)
    {
        try
        {
            var session = await ImapSession.OpenAsync(options, cancellationToken);
            await session.CloseAsync();
            return null;
        }
        catch (Exception e) when (ImapFailure.IsExpected(e, cancellationToken))
        {
            return ImapFailure.Explain(e, options);
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_session is { } session)
        {
            _session = null;
            await session.CloseAsync();
        }
    }

    private static TimeSpan Shorter(TimeSpan a, TimeSpan b) => a < b ? a : b;

    private async Task<T> GuardAsync<T>(
        Func<ImapSession, Task<T>> work,
        CancellationToken cancellationToken
    )
    {
        try
        {
            if (_session is not { Usable: true })
            {
                await DisposeAsync();
                _session = await ImapSession.OpenAsync(options, cancellationToken);
            }

            var result = await work(_session);
            (Down, _pause, _leaveAloneUntil) = (null, null, DateTimeOffset.MinValue);
            return result;
        }
        catch (Exception e) when (ImapFailure.IsExpected(e, cancellationToken))
        {
            Failed(e);
            throw new MailboxException(Down!, e);
        }
        catch (OperationCanceledException)
        {
            // A command broken off leaves the connection in the middle of an answer.
            _session?.Dispose();
            _session = null;
            throw;
        }
    }

    private void Failed(Exception e)
    {
        Down = ImapFailure.Explain(e, options);
        _pause = _pause is { } last ? Shorter(2 * last, options.ReconnectCap) : FirstPause;
        _leaveAloneUntil = time.GetUtcNow() + _pause.Value;
        _session?.Dispose();
        _session = null;
    }
}
