using System.Net.Sockets;

namespace TurfWatch.Mail;

/// <summary>The other side said more than anyone who keeps to the protocol does.</summary>
internal sealed class ReplyTooLongException(string message) : IOException(message);

/// <summary>
/// A socket's stream that bounds what the other side can do to us: each read has a deadline (also when
/// read asynchronously), and only so much may come in between two of our writes.
/// </summary>
/// <param name="socket">The connected socket; the stream owns it.</param>
/// <param name="server">What the other side is called in an error, for example "the relay".</param>
/// <param name="mostBytes">The longest answer.</param>
internal sealed class ReplyLimitStream(
    Socket socket,
    string server = "the relay",
    int mostBytes = ReplyLimitStream.TalkBytes
) : TalkStream
{
    /// <summary>More than any certificate chain or greeting needs.</summary>
    public const int TalkBytes = 256 * 1024;

    private readonly NetworkStream _inner = new(socket, ownsSocket: true);
    private int _sinceWrite;

    public override int ReadTimeout { get; set; } = Timeout.Infinite;
    public override int WriteTimeout { get; set; } = Timeout.Infinite;

    /// <summary>The relay hung up or spoke without being asked: nothing more can be sent here.</summary>
    public bool Spent
    {
        get
        {
            try
            {
                return socket.Poll(0, SelectMode.SelectRead);
            }
            catch (Exception e) when (e is SocketException or ObjectDisposedException)
            {
                return true;
            }
        }
    }

    public override async ValueTask<int> ReadAsync(
        Memory<byte> buffer,
        CancellationToken cancellationToken = default
    )
    {
        var count = await TimedAsync(
            ct => _inner.ReadAsync(buffer, ct),
            ReadTimeout,
            "no answer",
            cancellationToken
        );
        _sinceWrite += count;
        return _sinceWrite <= mostBytes
            ? count
            : throw new ReplyTooLongException(
                $"{server}'s answer is longer than {mostBytes} bytes"
            );
    }

    public override async ValueTask WriteAsync(
        ReadOnlyMemory<byte> buffer,
        CancellationToken cancellationToken = default
    )
    {
        _sinceWrite = 0;
        await TimedAsync(
            async ct =>
            {
                await _inner.WriteAsync(buffer, ct);
                return 0;
            },
            WriteTimeout,
            "nothing taken",
            cancellationToken
        );
    }

    // SslStream says good-bye this way when it is disposed of, and MailKit ends a wait for mail.
    public override void Write(byte[] buffer, int offset, int count)
    {
        _sinceWrite = 0;
        _inner.Write(buffer, offset, count);
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _inner.Dispose();
        }

        base.Dispose(disposing);
    }

    private async ValueTask<int> TimedAsync(
        Func<CancellationToken, ValueTask<int>> work,
        int milliseconds,
        string what,
        CancellationToken cancellationToken
    )
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        if (milliseconds > 0)
        {
            limit.CancelAfter(milliseconds);
        }

        try
        {
            return await work(limit.Token);
        }
        catch (OperationCanceledException e) when (!cancellationToken.IsCancellationRequested)
        {
            throw new TimeoutException(
                $"{what} from {server} within {milliseconds / 1000.0:0.#} s",
                e
            );
        }
    }
}
