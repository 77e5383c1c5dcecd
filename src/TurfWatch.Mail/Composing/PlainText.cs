using System.Globalization;
using System.Text;

namespace TurfWatch.Mail.Composing;

/// <summary>Makes text from anywhere harmless as text: one line, no characters that steer a display, of bounded length.</summary>
internal static class PlainText
{
    /// <summary>A space that no line ends at.</summary>
    public const char NoBreak = '\u00A0';

    public static string OneLine(string text)
    {
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

    /// <summary>At most so many letters as a reader counts them.</summary>
    public static string Clip(string text, int letters)
    {
        var info = new StringInfo(text);
        return info.LengthInTextElements <= letters
            ? text
            : info.SubstringByTextElements(0, letters - 1).TrimEnd() + "…";
    }

    /// <summary>Broken into lines of at most <paramref name="width"/> letters between words, the later ones indented.</summary>
    public static IEnumerable<string> Wrap(string text, string first, string rest, int width)
    {
        var line = new StringBuilder(first);
        var empty = true;
        var longest = Math.Max(1, width - Math.Max(first.Length, rest.Length));
        foreach (
            var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries)
                .SelectMany(w => Pieces(w, longest))
        )
        {
            if (!empty && line.Length + 1 + word.Length > width)
            {
                yield return line.ToString();
                line.Clear().Append(rest);
                empty = true;
            }

            if (!empty)
            {
                line.Append(' ');
            }

            line.Append(word);
            empty = false;
        }

        yield return line.ToString();
    }

    // A word longer than a line is cut, but not within a letter.
    private static IEnumerable<string> Pieces(string word, int longest)
    {
        while (word.Length > longest)
        {
            var cut = longest;
            while (cut > 1 && StringInfo.GetNextTextElementLength(word.AsSpan(cut - 1)) > 1)
            {
                cut--;
            }

            yield return word[..cut];
            word = word[cut..];
        }

        yield return word;
    }
}
