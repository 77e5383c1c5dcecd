namespace TurfWatch.Mail.Signing;

/// <summary>The form in which a message is hashed, so that harmless changes of white space on the way do not break the signature.</summary>
internal static class RelaxedForm
{
    /// <summary>
    /// A header field (RFC 6376, 3.4.2): name in lower case, one line, runs of white space as one space, none at
    /// the ends or around the colon. Without the line end, which the last field hashed does not have.
    /// </summary>
    public static int Header(ReadOnlySpan<byte> field, Span<byte> into)
    {
        var colon = field.IndexOf((byte)':');
        var length = 0;
        foreach (var b in field[..colon].TrimEnd(" \t"u8))
        {
            into[length++] = b is >= (byte)'A' and <= (byte)'Z' ? (byte)(b | 0x20) : b;
        }

        into[length++] = (byte)':';
        var start = length;
        var gap = false;
        foreach (var b in field[(colon + 1)..])
        {
            if (b is (byte)' ' or (byte)'\t')
            {
                gap = true;
            }
            else if (b is not ((byte)'\r' or (byte)'\n'))
            {
                if (gap && length > start)
                {
                    into[length++] = (byte)' ';
                }

                gap = false;
                into[length++] = b;
            }
        }

        return length;
    }

    /// <summary>
    /// The body (RFC 6376, 3.4.4): runs of white space in a line as one space, none at its end, no empty lines at the
    /// end of the body. <paramref name="into"/> must have room for two bytes more than the body.
    /// </summary>
    public static int Body(ReadOnlySpan<byte> body, Span<byte> into)
    {
        var length = 0;
        var filled = 0; // up to the end of the last line that is not empty
        while (!body.IsEmpty)
        {
            var end = body.IndexOf("\r\n"u8);
            var line = end < 0 ? body : body[..end];
            body = end < 0 ? [] : body[(end + 2)..];
            length += Line(line.TrimEnd(" \t"u8), into[length..], out var any);
            into[length++] = (byte)'\r';
            into[length++] = (byte)'\n';
            if (any)
            {
                filled = length;
            }
        }

        return filled;
    }

    private static int Line(ReadOnlySpan<byte> line, Span<byte> into, out bool any)
    {
        any = !line.IsEmpty;
        if (!line.Contains((byte)'\t') && line.IndexOf("  "u8) < 0)
        {
            line.CopyTo(into);
            return line.Length;
        }

        var length = 0;
        var gap = false;
        foreach (var b in line)
        {
            if (b is (byte)' ' or (byte)'\t')
            {
                gap = true;
                continue;
            }

            if (gap)
            {
                into[length++] = (byte)' ';
                gap = false;
            }

            into[length++] = b;
        }

        return length;
    }
}
