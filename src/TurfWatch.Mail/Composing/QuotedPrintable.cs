using System.Buffers;
using System.Text;

namespace TurfWatch.Mail.Composing;

/// <summary>
/// Text in the quoted-printable encoding (RFC 2045, 6.7), straight into wire form. MimeKit's encoder goes byte by byte and ends
/// lines by LF alone, which takes another pass over each message.
/// </summary>
internal static class QuotedPrintable
{
    /// <summary>RFC 2045, 6.7, rule 5: at most 76 signs in a line, the "=" of a soft break included.</summary>
    private const int LongestLine = 76;

    // Rule 2; a space or tab stays as it is too where it does not end the line (rule 3).
    private static readonly SearchValues<byte> Plain = SearchValues.Create([
        .. Enumerable.Range(' ', '~' - ' ' + 1).Where(c => c != '=').Select(c => (byte)c),
        (byte)'\t',
    ]);

    /// <summary>The text, whose lines are ended by LF or CR LF.</summary>
    public static WireText Write(string text)
    {
        using var bytes = new WireText(Encoding.UTF8.GetMaxByteCount(text.Length));
        bytes.Advance(Encoding.UTF8.GetBytes(text, bytes.Room(0)));
        return Write(bytes.Written);
    }

    /// <summary>Text in UTF-8, whose lines are ended by LF or CR LF.</summary>
    public static WireText Write(ReadOnlySpan<byte> text)
    {
        var wire = new WireText(text.Length + text.Length / 8 + 256);
        while (!text.IsEmpty)
        {
            var end = text.IndexOf((byte)'\n');
            var line = end < 0 ? text : text[..end];
            text = end < 0 ? [] : text[(end + 1)..];
            Line(line.EndsWith((byte)'\r') ? line[..^1] : line, wire);
            if (end >= 0)
            {
                wire.Write("\r\n"u8);
            }
        }

        return wire;
    }

    private static void Line(ReadOnlySpan<byte> line, WireText wire)
    {
        // White space at the end would be cut on the way; its last sign is written as a number.
        var last = !line.IsEmpty && line[^1] is (byte)' ' or (byte)'\t' ? line.Length - 1 : -1;
        var column = 0;
        var at = 0;
        while (at < line.Length)
        {
            var run = line[at..].IndexOfAnyExcept(Plain);
            run = run < 0 ? line.Length - at : run;
            if (at + run > last && last >= at)
            {
                run = last - at;
            }

            while (run > 0)
            {
                var whole = at + run == line.Length && column + run <= LongestLine;
                var fits = whole ? run : Math.Min(run, LongestLine - 1 - column);
                if (fits == 0)
                {
                    wire.Write("=\r\n"u8);
                    column = 0;
                    continue;
                }

                wire.Write(line.Slice(at, fits));
                at += fits;
                run -= fits;
                column += fits;
            }

            if (at < line.Length && (at == last || !Plain.Contains(line[at])))
            {
                if (column + 3 > LongestLine - (at + 1 < line.Length ? 1 : 0))
                {
                    wire.Write("=\r\n"u8);
                    column = 0;
                }

                var hex = wire.Room(3);
                hex[0] = (byte)'=';
                hex[1] = (byte)"0123456789ABCDEF"[line[at] >> 4];
                hex[2] = (byte)"0123456789ABCDEF"[line[at] & 15];
                wire.Advance(3);
                column += 3;
                at++;
            }
        }
    }
}
