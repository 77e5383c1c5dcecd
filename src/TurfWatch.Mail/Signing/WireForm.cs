namespace TurfWatch.Mail.Signing;

/// <summary>A message as bytes for the wire.</summary>
internal static class WireForm
{
    /// <summary>
    /// The message with every line ended by CR LF, the last one too (RFC 5321, 2.3.8); the same array when it is so
    /// already. What is sent must be what was signed, so this comes before the signature.
    /// </summary>
    public static byte[] Of(byte[] message)
    {
        if (IsWire(message))
        {
            return message;
        }

        var lines = new List<byte>(message.Length + 2);
        for (var i = 0; i < message.Length; i++)
        {
            if (message[i] is not ((byte)'\r' or (byte)'\n'))
            {
                lines.Add(message[i]);
                continue;
            }

            if (message[i] == '\r' && i + 1 < message.Length && message[i + 1] == '\n')
            {
                i++;
            }

            lines.AddRange("\r\n"u8);
        }

        if (lines.Count > 0 && lines[^1] != '\n')
        {
            lines.AddRange("\r\n"u8);
        }

        return [.. lines];
    }

    private static bool IsWire(ReadOnlySpan<byte> message)
    {
        var ended = false;
        while (!message.IsEmpty)
        {
            var end = message.IndexOfAny((byte)'\r', (byte)'\n');
            ended = end >= 0 && message[end..].StartsWith("\r\n"u8);
            if (!ended)
            {
                break;
            }

            message = message[(end + 2)..];
        }

        return ended;
    }

    /// <summary>The header fields of a message in wire form, each without its last line end, and where the body begins.</summary>
    public static List<Range> Fields(byte[] message, out int bodyAt)
    {
        var fields = new List<Range>(24);
        var at = 0;
        while (at < message.Length && !message.AsSpan(at).StartsWith("\r\n"u8))
        {
            var end = at;
            do
            {
                var more = message.AsSpan(end).IndexOf("\r\n"u8);
                end = more < 0 ? message.Length : end + more + 2;
            } while (end < message.Length && message[end] is (byte)' ' or (byte)'\t');

            if (message.AsSpan(at, end - at).Contains((byte)':'))
            {
                fields.Add(at..(end - 2));
            }

            at = end;
        }

        bodyAt = Math.Min(at + 2, message.Length);
        return fields;
    }

    public static bool IsNamed(byte[] message, Range field, string name)
    {
        var span = message.AsSpan(field);
        return span.Length > name.Length
            && span[name.Length] is (byte)':' or (byte)' ' or (byte)'\t'
            && System.Text.Ascii.EqualsIgnoreCase(span[..name.Length], name);
    }
}
