namespace TurfWatch.Fuzz;

/// <summary>What a run of bytes is, for JSON, CSV, mail, HTML and forms alike.</summary>
internal enum TokenKind
{
    Number,
    Word,
    Quoted,
    Space,
    LineEnd,
    Sign,
    Other,
}

internal readonly record struct Token(TokenKind Kind, int Start, int Length)
{
    public int End => Start + Length;
}

/// <summary>Cuts bytes into tokens without knowing their grammar, so that mutations keep most of it whole.</summary>
internal static class Tokens
{
    private const int Most = 4096;

    public static List<Token> Of(ReadOnlySpan<byte> bytes)
    {
        var tokens = new List<Token>();
        var at = 0;
        while (at < bytes.Length && tokens.Count < Most)
        {
            var kind = KindOf(bytes, at);
            var end = at + 1;
            if (kind == TokenKind.Quoted)
            {
                while (end < bytes.Length && bytes[end] != '"' && bytes[end] != '\n')
                {
                    end++;
                }

                end = Math.Min(bytes.Length, end + 1);
            }
            else if (kind != TokenKind.Sign)
            {
                while (end < bytes.Length && Continues(kind, bytes[end]))
                {
                    end++;
                }
            }

            tokens.Add(new(kind, at, end - at));
            at = end;
        }

        return tokens;
    }

    private static TokenKind KindOf(ReadOnlySpan<byte> bytes, int at)
    {
        var c = (char)bytes[at];
        var next = at + 1 < bytes.Length ? (char)bytes[at + 1] : ' ';
        return c switch
        {
            _ when char.IsAsciiDigit(c) || (c == '-' && char.IsAsciiDigit(next)) =>
                TokenKind.Number,
            _ when char.IsAsciiLetter(c) => TokenKind.Word,
            '"' => TokenKind.Quoted,
            ' ' or '\t' => TokenKind.Space,
            '\r' or '\n' => TokenKind.LineEnd,
            _ when c < 128 => TokenKind.Sign,
            _ => TokenKind.Other,
        };
    }

    private static bool Continues(TokenKind kind, byte b)
    {
        var c = (char)b;
        return kind switch
        {
            TokenKind.Number => char.IsAsciiDigit(c) || c is '.' or 'e' or 'E',
            TokenKind.Word => char.IsAsciiLetterOrDigit(c) || c is '_' or '-',
            TokenKind.Space => c is ' ' or '\t',
            TokenKind.LineEnd => c is '\r' or '\n',
            TokenKind.Other => b >= 128,
            _ => false,
        };
    }
}
