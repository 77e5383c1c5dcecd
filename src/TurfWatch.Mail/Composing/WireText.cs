using System.Buffers;

namespace TurfWatch.Mail.Composing;

/// <summary>Bytes for the wire as they are written: ASCII, every line ended by CR LF. The room is borrowed until it is disposed of.</summary>
internal sealed class WireText(int room) : Stream
{
    private byte[] _bytes = ArrayPool<byte>.Shared.Rent(room);
    private int _length;

    public ReadOnlySpan<byte> Written => _bytes.AsSpan(0, _length);

    public override bool CanRead => false;
    public override bool CanSeek => false;
    public override bool CanWrite => true;
    public override long Length => _length;

    public override long Position
    {
        get => _length;
        set => throw new NotSupportedException();
    }

    /// <summary>Room for at least so many bytes more; <see cref="Advance"/> says how many were used.</summary>
    public Span<byte> Room(int bytes)
    {
        if (_bytes.Length - _length < bytes)
        {
            var larger = ArrayPool<byte>.Shared.Rent(Math.Max(_bytes.Length * 2, _length + bytes));
            Written.CopyTo(larger);
            ArrayPool<byte>.Shared.Return(_bytes);
            _bytes = larger;
        }

        return _bytes.AsSpan(_length);
    }

    public void Advance(int bytes) => _length += bytes;

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        buffer.CopyTo(Room(buffer.Length));
        _length += buffer.Length;
    }

    public override void Write(byte[] buffer, int offset, int count) =>
        Write(buffer.AsSpan(offset, count));

    public override void Flush() { }

    public override int Read(byte[] buffer, int offset, int count) =>
        throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        var bytes = _bytes;
        (_bytes, _length) = ([], 0);
        if (disposing && bytes.Length > 0)
        {
            ArrayPool<byte>.Shared.Return(bytes);
        }

        base.Dispose(disposing);
    }
}
