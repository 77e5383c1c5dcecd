using System.Buffers;
using System.Globalization;
using System.Text;

namespace TurfWatch.Mail.Composing;

/// <summary>Makes text from anywhere harmless as text: one line, no characters that steer a display, of bounded length.</summary>
internal static class PlainText
{
    /// <summary>A space that no line ends at.</summary>
    public const char NoBreak = '\u00A0';

    // Letters and signs of ASCII and Latin-1, without those that steer (U+00AD, the soft hyphen, is one).
    private static readonly SearchValues<char> Harmless = SearchValues.Create([
        .. Enumerable
            .Range(' ', '~' - ' ' + 1)
            .Concat(Enumerable.Range(NoBreak, 0x100 - NoBreak))
            .Where(c => c != 0xAD)
            .Select(c => (char)c),
    ]);

    public static string OneLine(string text)
    {
        if (IsOneLine(text))
        {
            return text;
        }

        var clean = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            // Format characters include those that reverse the writing direction of what follows.
            switch (Rune.GetUnicodeCategory(rune))
            {
                case UnicodeCategory.Control
                or UnicodeCategory.LineSeparator
                or UnicodeCategory.ParagraphSeparator:
                    clean.Append(' ');
                    break;
                case UnicodeCategory.Format
                or UnicodeCategory.Surrogate
                or UnicodeCategory.PrivateUse
                or UnicodeCategory.OtherNotAssigned:
                    break;
                default:
                    clean.Append(rune.ToString());
                    break;
            }
        }

        return string.Join(' ', clean.ToString().Split(' ', StringSplitOptions.RemoveEmptyEntries));
    }

    // Nearly every text is: our own words and numbers.
    private static bool IsOneLine(ReadOnlySpan<char> text) =>
        !text.ContainsAnyExcept(Harmless)
        && !text.StartsWith(' ')
        && !text.EndsWith(' ')
        && !text.Contains("  ", StringComparison.Ordinal);

    /// <summary>At most so many letters as a reader counts them.</summary>
    public static string Clip(string text, int letters)
    {
        if (text.Length <= letters)
        {
            return text;
        }

        var info = new StringInfo(text);
        return info.LengthInTextElements <= letters
            ? text
            : info.SubstringByTextElements(0, letters - 1).TrimEnd() + "…";
    }

    /// <summary>Writes the text in lines of at most <paramref name="width"/> letters, broken between words, the later ones indented.</summary>
    public static void Wrap(
        StringBuilder into,
        ReadOnlySpan<char> text,
        string first,
        string rest,
        int width
    )
    {
        var longest = Math.Max(1, width - Math.Max(first.Length, rest.Length));
        into.Append(first);
        var length = first.Length;
        var empty = true;
        while (!(text = text.TrimStart(' ')).IsEmpty)
        {
            var end = text.IndexOf(' ');
            var word = text[..Piece(end < 0 ? text : text[..end], longest)];
            text = text[word.Length..];
            if (!empty && length + 1 + word.Length > width)
            {
                into.Append('\n').Append(rest);
                length = rest.Length;
                empty = true;
            }

            if (!empty)
            {
                into.Append(' ');
                length++;
            }

            into.Append(word);
            length += word.Length;
            empty = false;
        }

        into.Append('\n');
    }

    // A word longer than a line is cut, but not within a letter.
    private static int Piece(ReadOnlySpan<char> word, int longest)
    {
        if (word.Length <= longest)
        {
            return word.Length;
        }

        var cut = longest;
        while (cut > 1 && StringInfo.GetNextTextElementLength(word[(cut - 1)..]) > 1)
        {
            cut--;
        }

        return cut;
    }
}
