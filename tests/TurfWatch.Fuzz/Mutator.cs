using System.Text;

namespace TurfWatch.Fuzz;

/// <summary>Makes inputs of well-made ones: by bits, by tokens, by lines, and by splicing two.</summary>
internal sealed class Mutator(FuzzTarget target)
{
    private static readonly byte[][] Numbers = Bytes(
        "0",
        "-0",
        "1",
        "-1",
        "0.0",
        "1e999",
        "-1e999",
        "1e-999",
        "NaN",
        "\"NaN\"",
        "Infinity",
        "\"-Infinity\"",
        "1e308",
        "-1.7976931348623157e308",
        "4.9e-324",
        "2147483647",
        "2147483648",
        "-2147483649",
        "4294967296",
        "9223372036854775807",
        "-9223372036854775808",
        "9223372036854774000",
        "-9223372036854774000",
        "18446744073709551616",
        "99999999999999999999999999999999999999",
        "00",
        "007",
        "0x10",
        "1.2.3",
        "-",
        "1e",
        ".5",
        "-999",
        "-999.0",
        "3600",
        "253402300799",
        "253402300800",
        "-62135596800",
        "-377705116800",
        "1000000000000000000000000",
        "\"12\"",
        "null",
        "true",
        "1,5",
        "１２"
    );

    private static readonly byte[][] Values = Bytes(
        "null",
        "true",
        "false",
        "[]",
        "{}",
        "\"\"",
        "[null]",
        "{\"\":null}",
        "[[]]",
        "0",
        "\"x\"",
        "[1,2,3]",
        "\"\\u0000\"",
        "\"\\ud800\"",
        "\"\\u202e\"",
        "\"\\r\\nX: y\""
    );

    private static readonly byte[][] Nasty =
    [
        [0],
        [0xFF, 0xFE],
        [0xEF, 0xBB, 0xBF],
        [0xC0, 0x80],
        [0xED, 0xA0, 0x80],
        [0xF4, 0x90, 0x80, 0x80],
        [0xE2, 0x80, 0xAE],
        [0xE2, 0x80, 0x8B],
        [0xE2, 0x80, 0xA8],
        [0x1B, (byte)'[', (byte)'2', (byte)'J'],
        [0xF0, 0x9F, 0x98],
        "\r"u8.ToArray(),
        "\n"u8.ToArray(),
        "\r\n\r\n"u8.ToArray(),
        "\u0085"u8.ToArray(),
        "<script>"u8.ToArray(),
        "{{ x }}"u8.ToArray(),
        "'; DROP TABLE lawn; --"u8.ToArray(),
        "=1+1"u8.ToArray(),
        "../../../../etc/passwd"u8.ToArray(),
        "%00%0d%0a"u8.ToArray(),
        "%s%n"u8.ToArray(),
        "ﬃİıſK"u8.ToArray(),
        "9999-12-31T23:59:59-18:00"u8.ToArray(),
        "-9998-01-01T00:00:00Z"u8.ToArray(),
        "0001-01-01T00:00:00Z"u8.ToArray(),
        "P99999999999999D"u8.ToArray(),
        "PT1S"u8.ToArray(),
        "2026-02-30"u8.ToArray(),
        "=?utf-8?B?//8=?="u8.ToArray(),
        "=?x?q?=?="u8.ToArray(),
    ];

    private static readonly (string Open, string Close)[] Nests =
    [
        ("[", "]"),
        ("{\"a\":", "}"),
        ("(", ")"),
        ("<div>", "</div>"),
        ("<blockquote>", ""),
        ("> ", ""),
        ("\"", "\""),
        ("<", ">"),
        ("=?utf-8?q?", "?="),
        ("Content-Type: multipart/mixed; boundary=b\r\n\r\n--b\r\n", ""),
        ("Content-Type: message/rfc822\r\n\r\n", ""),
    ];

    private readonly byte[][] _words = Bytes([.. target.Words]);

    /// <summary>The input of that number.</summary>
    /// <param name="corpus">What to make it of; not empty.</param>
    public byte[] Make(Dice dice, Corpus corpus)
    {
        var bytes = corpus.Draw(dice);
        if (target.IsJson && dice.Below(4) > 0 && JsonMutator.Change(dice, bytes) is { } changed)
        {
            return changed.Length <= target.LongestInput ? changed : changed[..target.LongestInput];
        }

        for (var n = 1 + dice.Below(4); n > 0; n--)
        {
            bytes = Step(dice, bytes, corpus.Inputs);
        }

        return bytes.Length <= target.LongestInput ? bytes : bytes[..target.LongestInput];
    }

    private byte[] Step(Dice dice, byte[] bytes, IReadOnlyList<byte[]> corpus) =>
        bytes.Length == 0
            ? dice.Of(corpus)
            : dice.Below(20) switch
            {
                0 => FlipBits(dice, bytes),
                1 => Insert(bytes, dice.Below(bytes.Length + 1), dice.Of(Nasty)),
                2 => bytes[..dice.Below(bytes.Length)],
                3 => Splice(dice, bytes, dice.Of(corpus)),
                4 => Lines(dice, bytes),
                5 => OverWrite(dice, bytes),
                6 when dice.OneIn(20) => Nest(dice, bytes),
                7 when dice.OneIn(20) => Long(dice, bytes),
                8 or 9 when _words.Length > 0 => Replace(dice, bytes, dice.Of(_words)),
                10 or 11 or 12 => ReplaceKind(dice, bytes, TokenKind.Number, Numbers),
                13 => ReplaceKind(dice, bytes, TokenKind.Quoted, Values),
                14 => Replace(dice, bytes, dice.Of(Values)),
                15 => Swap(dice, bytes),
                16 => Repeat(dice, bytes),
                17 => Drop(dice, bytes),
                _ => ByOneDigit(dice, bytes),
            };

    private static byte[] FlipBits(Dice dice, byte[] bytes)
    {
        var copy = (byte[])bytes.Clone();
        for (var n = 1 + dice.Below(8); n > 0; n--)
        {
            copy[dice.Below(copy.Length)] ^= (byte)(1 << dice.Below(8));
        }

        return copy;
    }

    private static byte[] OverWrite(Dice dice, byte[] bytes)
    {
        var copy = (byte[])bytes.Clone();
        var at = dice.Below(copy.Length);
        for (var i = at; i < Math.Min(copy.Length, at + 1 + dice.Below(8)); i++)
        {
            copy[i] = dice.Of<byte>([0, 1, 0x7F, 0x80, 0xFF, (byte)dice.Below(256)]);
        }

        return copy;
    }

    private static byte[] ByOneDigit(Dice dice, byte[] bytes)
    {
        var copy = (byte[])bytes.Clone();
        var start = dice.Below(copy.Length);
        for (var i = 0; i < copy.Length; i++)
        {
            ref var b = ref copy[(start + i) % copy.Length];
            if (char.IsAsciiDigit((char)b))
            {
                b = (byte)('0' + dice.Below(10));
                break;
            }
        }

        return copy;
    }

    private static byte[] Splice(Dice dice, byte[] a, byte[] b)
    {
        if (b.Length == 0)
        {
            return a;
        }

        var left = Edge(dice, a);
        var right = Edge(dice, b);
        return [.. a.AsSpan(0, left), .. b.AsSpan(right)];
    }

    // Mostly where a token begins, so that both halves stay readable.
    private static int Edge(Dice dice, byte[] bytes)
    {
        var at = dice.Below(bytes.Length);
        while (at > 0 && !dice.OneIn(200) && char.IsAsciiLetterOrDigit((char)bytes[at - 1]))
        {
            at--;
        }

        return at;
    }

    private static byte[] Lines(Dice dice, byte[] bytes)
    {
        var starts = new List<int> { 0 };
        for (var i = 0; i < bytes.Length - 1 && starts.Count < 2000; i++)
        {
            if (bytes[i] == '\n')
            {
                starts.Add(i + 1);
            }
        }

        var line = dice.Below(starts.Count);
        var (from, to) = (starts[line], line + 1 < starts.Count ? starts[line + 1] : bytes.Length);
        var other = dice.Of(starts);
        return dice.Below(3) switch
        {
            0 => [.. bytes.AsSpan(0, from), .. bytes.AsSpan(to)],
            1 => [.. bytes.AsSpan(0, to), .. bytes.AsSpan(from)],
            _ => Insert(bytes, other, bytes[from..to]),
        };
    }

    private static byte[] Nest(Dice dice, byte[] bytes)
    {
        var (open, close) = dice.Of(Nests);
        var times = dice.Of([10, 70, 500, 3000]);
        var at = Edge(dice, bytes);
        var left = Encoding.UTF8.GetBytes(string.Concat(Enumerable.Repeat(open, times)));
        var right = Encoding.UTF8.GetBytes(string.Concat(Enumerable.Repeat(close, times)));
        return [.. bytes.AsSpan(0, at), .. left, .. right, .. bytes.AsSpan(at)];
    }

    private static byte[] Long(Dice dice, byte[] bytes)
    {
        var run = new byte[dice.Of([300, 5000, 60_000])];
        var piece = dice.Of(Nasty);
        if (dice.OneIn(2))
        {
            piece = [dice.Of("aA0 .,;:-@<>\"'\t=%\\"u8.ToArray())];
        }

        for (var i = 0; i < run.Length; i++)
        {
            run[i] = piece[i % piece.Length];
        }

        return Insert(bytes, Edge(dice, bytes), run);
    }

    private static byte[] Replace(Dice dice, byte[] bytes, byte[] by)
    {
        var tokens = Tokens.Of(bytes);
        var token = dice.Of(tokens);
        return [.. bytes.AsSpan(0, token.Start), .. by, .. bytes.AsSpan(token.End)];
    }

    private static byte[] ReplaceKind(Dice dice, byte[] bytes, TokenKind kind, byte[][] by)
    {
        var tokens = Tokens.Of(bytes).FindAll(t => t.Kind == kind);
        if (tokens.Count == 0)
        {
            return FlipBits(dice, bytes);
        }

        var token = dice.Of(tokens);
        return [.. bytes.AsSpan(0, token.Start), .. dice.Of(by), .. bytes.AsSpan(token.End)];
    }

    private static byte[] Swap(Dice dice, byte[] bytes)
    {
        var tokens = Tokens.Of(bytes);
        var (a, b) = (dice.Of(tokens), dice.Of(tokens));
        if (a.Start > b.Start)
        {
            (a, b) = (b, a);
        }

        return a.Start == b.Start
            ? bytes
            :
            [
                .. bytes.AsSpan(0, a.Start),
                .. bytes.AsSpan(b.Start, b.Length),
                .. bytes.AsSpan(a.End, b.Start - a.End),
                .. bytes.AsSpan(a.Start, a.Length),
                .. bytes.AsSpan(b.End),
            ];
    }

    private static byte[] Repeat(Dice dice, byte[] bytes)
    {
        var tokens = Tokens.Of(bytes);
        var first = dice.Below(tokens.Count);
        var last = Math.Min(tokens.Count - 1, first + dice.Below(8));
        var piece = bytes[tokens[first].Start..tokens[last].End];
        var times = dice.OneIn(30) ? 200 : 1 + dice.Below(3);
        var many = new List<byte>(piece.Length * times);
        for (var n = 0; n < times && many.Count < 100_000; n++)
        {
            many.AddRange(piece);
        }

        return Insert(bytes, tokens[first].Start, [.. many]);
    }

    private static byte[] Drop(Dice dice, byte[] bytes)
    {
        var tokens = Tokens.Of(bytes);
        var first = dice.Below(tokens.Count);
        var last = Math.Min(tokens.Count - 1, first + dice.Below(6));
        return [.. bytes.AsSpan(0, tokens[first].Start), .. bytes.AsSpan(tokens[last].End)];
    }

    private static byte[] Insert(byte[] bytes, int at, byte[] what) =>
        [.. bytes.AsSpan(0, at), .. what, .. bytes.AsSpan(at)];

    private static byte[][] Bytes(params string[] texts) =>
        [.. texts.Select(Encoding.UTF8.GetBytes)];
}
