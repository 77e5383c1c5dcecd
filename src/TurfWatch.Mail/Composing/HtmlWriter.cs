using System.Buffers;
using System.Globalization;
using System.Text;

namespace TurfWatch.Mail.Composing;

/// <summary>
/// Takes what a template writes and makes it a part that needs no encoding: letters beyond ASCII as character references, lines
/// broken at spaces, where HTML does not mind.
/// </summary>
internal sealed class HtmlWriter : TextWriter
{
    /// <summary>RFC 5322, 2.1.1: lines should have at most 78 signs.</summary>
    private const int Width = 78;

    /// <summary>The same: they must not have more than 998.</summary>
    private const int LongestLine = 998;

    private readonly WireText _ascii = new(32 * 1024);

    public override Encoding Encoding => Encoding.ASCII;

    public override void Write(char value) => Write([value]);

    public override void Write(string? value) => Write(value.AsSpan());

    public override void Write(char[] buffer, int index, int count) =>
        Write(buffer.AsSpan(index, count));

    public override void Write(ReadOnlySpan<char> buffer)
    {
        while (true)
        {
            Ascii.FromUtf16(buffer, _ascii.Room(buffer.Length), out var plain);
            _ascii.Advance(plain);
            buffer = buffer[plain..];
            if (buffer.IsEmpty)
            {
                return;
            }

            // What is no letter at all becomes U+FFFD.
            Rune.DecodeFromUtf16(buffer, out var rune, out var chars);
            buffer = buffer[chars..];
            Write(string.Create(CultureInfo.InvariantCulture, $"&#{rune.Value};"));
        }
    }

    // The base class would start a task for each.
    public override Task WriteAsync(char value)
    {
        Write(value);
        return Task.CompletedTask;
    }

    public override Task WriteAsync(string? value)
    {
        Write(value);
        return Task.CompletedTask;
    }

    public override Task WriteAsync(char[] buffer, int index, int count)
    {
        Write(buffer, index, count);
        return Task.CompletedTask;
    }

    public override Task WriteAsync(
        ReadOnlyMemory<char> buffer,
        CancellationToken cancellationToken = default
    )
    {
        Write(buffer.Span);
        return Task.CompletedTask;
    }

    public override Task FlushAsync() => Task.CompletedTask;

    /// <summary>The part in wire form; null when something in it is so long that a line cannot be kept short enough.</summary>
    public WireText? Lines()
    {
        var text = _ascii.Written;
        var wire = new WireText(text.Length + text.Length / 16 + 256);
        while (!text.IsEmpty)
        {
            var end = text.IndexOf((byte)'\n');
            var line = (end < 0 ? text : text[..end]).TrimEnd(" \r"u8);
            text = end < 0 ? [] : text[(end + 1)..];
            while (line.Length > Width && BreakOf(line) is > 0 and <= LongestLine and var cut)
            {
                wire.Write(line[..cut]);
                wire.Write("\r\n"u8);
                line = line[(cut + 1)..];
            }

            if (line.Length > LongestLine)
            {
                wire.Dispose();
                return null;
            }

            // Lines that held nothing but orders to the template.
            if (!line.IsEmpty)
            {
                wire.Write(line);
                wire.Write("\r\n"u8);
            }
        }

        return wire;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _ascii.Dispose();
        }

        base.Dispose(disposing);
    }

    /// <summary>
    /// The space to break at: the last one in the width, or else the first behind it; not within the value of an attribute, where
    /// a style may hold quoted names. What readers give is escaped, so a quotation mark is always the template's.
    /// </summary>
    private static int BreakOf(ReadOnlySpan<byte> line)
    {
        var cut = line[..(Width + 1)].LastIndexOf((byte)' ');
        while (cut > 0)
        {
            if (line[..cut].Count((byte)'"') % 2 == 0)
            {
                return cut;
            }

            cut = line[..line[..cut].LastIndexOf((byte)'"')].LastIndexOf((byte)' ');
        }

        var quoted = line[0] == '"';
        for (var at = 1; at < line.Length; at++)
        {
            var next = line[at..].IndexOfAny((byte)' ', (byte)'"');
            if (next < 0)
            {
                break;
            }

            at += next;
            if (line[at] == '"')
            {
                quoted = !quoted;
            }
            else if (!quoted)
            {
                return at;
            }
        }

        return -1;
    }
}
