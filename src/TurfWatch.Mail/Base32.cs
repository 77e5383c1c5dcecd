using System.Text;

namespace TurfWatch.Mail;

/// <summary>Bytes in the 32 letters of RFC 4648 6, in lower case and without padding.</summary>
internal static class Base32
{
    private const string Letters = "abcdefghijklmnopqrstuvwxyz234567";

    public static string Encode(ReadOnlySpan<byte> bytes)
    {
        var text = new StringBuilder((bytes.Length * 8 + 4) / 5);
        var (held, bits) = (0, 0);
        foreach (var b in bytes)
        {
            held = (held << 8) | b;
            bits += 8;
            while (bits >= 5)
            {
                bits -= 5;
                text.Append(Letters[(held >> bits) & 31]);
            }

            held &= (1 << bits) - 1;
        }

        return bits > 0
            ? text.Append(Letters[(held << (5 - bits)) & 31]).ToString()
            : text.ToString();
    }

    /// <summary>The bytes of a text of just that length; false for anything that <see cref="Encode"/> would not write.</summary>
    public static bool TryDecode(ReadOnlySpan<char> text, int length, out byte[] bytes)
    {
        bytes = new byte[length];
        if (text.Length != (length * 8 + 4) / 5)
        {
            return false;
        }

        var (held, bits, n) = (0, 0, 0);
        foreach (var letter in text)
        {
            var value = Letters.IndexOf(letter, StringComparison.Ordinal);
            if (value < 0)
            {
                return false;
            }

            held = (held << 5) | value;
            bits += 5;
            if (bits >= 8)
            {
                bits -= 8;
                bytes[n++] = (byte)(held >> bits);
                held &= (1 << bits) - 1;
            }
        }

        return held == 0;
    }
}
