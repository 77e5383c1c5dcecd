using System.Buffers;

namespace TurfWatch.Mail;

/// <summary>
/// Gathers what is written until an answer is wanted: MailKit writes a message in blocks of 4 KiB, each of them a call of the
/// system and a wakeup of the other side. SMTP allows it, for nobody there speaks before we wait to hear. What was gathered and
/// not sent when the stream is disposed of is never sent.
/// </summary>
internal sealed class GatheredStream(ReplyLimitStream inner) : TalkStream
{
    /// <summary>A message of ours with its commands, nearly always.</summary>
    private const int Room = 32 * 1024;

    private byte[] _bytes = [];

    public override int ReadTimeout
    {
        get => inner.ReadTimeout;
        set => inner.ReadTimeout = value;
    }

    public override int WriteTimeout
    {
        get => inner.WriteTimeout;
        set => inner.WriteTimeout = value;
    }

    /// <summary>Bytes that the system has not taken yet, the last of all that were written among them.</summary>
    public int Unsent { get; private set; }

    public override async ValueTask<int> ReadAsync(
        Memory<byte> buffer,
        CancellationToken cancellationToken = default
    )
    {
        await SendAsync(cancellationToken);
        return await inner.ReadAsync(buffer, cancellationToken);
    }

    public override async ValueTask WriteAsync(
        ReadOnlyMemory<byte> buffer,
        CancellationToken cancellationToken = default
    )
    {
        while (!buffer.IsEmpty)
        {
            if (Unsent == Room)
            {
                await SendAsync(cancellationToken);
            }

            if (_bytes.Length == 0)
            {
                _bytes = ArrayPool<byte>.Shared.Rent(Room);
            }

            var count = Math.Min(buffer.Length, Room - Unsent);
            buffer[..count].CopyTo(_bytes.AsMemory(Unsent));
            Unsent += count;
            buffer = buffer[count..];
        }
    }

    // The good-bye of an SslStream, which may not carry along what was given up.
    public override void Write(byte[] buffer, int offset, int count)
    {
        if (Unsent == 0)
        {
            inner.Write(buffer, offset, count);
        }
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            // Not given back: a write that was cut off may still look at it.
            _bytes = [];
            inner.Dispose();
        }

        base.Dispose(disposing);
    }

    private async ValueTask SendAsync(CancellationToken cancellationToken)
    {
        if (Unsent == 0)
        {
            return;
        }

        await inner.WriteAsync(_bytes.AsMemory(0, Unsent), cancellationToken);
        ArrayPool<byte>.Shared.Return(_bytes);
        (_bytes, Unsent) = ([], 0);
    }
}
