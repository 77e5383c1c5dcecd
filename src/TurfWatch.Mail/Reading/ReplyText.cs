using System.Text.RegularExpressions;

namespace TurfWatch.Mail.Reading;

/// <summary>The lines that the sender wrote himself, above what he answers to.</summary>
public static partial class ReplyText
{
    /// <summary>Lines beyond this are not read: nobody answers at such length.</summary>
    public const int MostLines = 10;

    /// <summary>Characters beyond this in one line are not read.</summary>
    public const int LongestLine = 300;

    /// <summary>
    /// The own lines of a plain text: up to the first quoted line, the first line that introduces a quotation, a
    /// forwarded message or a signature. When nothing stands above an introduced quotation, those below it. Empty lines
    /// are left out.
    /// </summary>
    public static IReadOnlyList<string> OwnLines(string text)
    {
        var lines = text.ReplaceLineEndings("\n").Split('\n');
        var own = From(lines, 0);
        return own.Count > 0 ? own : From(lines, BelowQuotation(lines));
    }

    private static List<string> From(string[] lines, int start)
    {
        var own = new List<string>();
        for (var i = start; i < lines.Length && own.Count < MostLines; i++)
        {
            var line = Clean(lines[i]);
            if (line.Length == 0)
            {
                continue;
            }

            if (Ends(line, Next(lines, i)))
            {
                break;
            }

            own.Add(line.Length > LongestLine ? line[..LongestLine] : line);
        }

        return own;
    }

    // Only where every line from the introduction on is marked as quoted can one tell where the quotation ends.
    private static int BelowQuotation(string[] lines)
    {
        var i = Array.FindIndex(lines, l => Clean(l).Length > 0);
        if (i < 0)
        {
            return lines.Length;
        }

        var first = Clean(lines[i]);
        i +=
            Introduction().IsMatch(first) ? 1
            : Introduction().IsMatch($"{first} {Next(lines, i)}") ? 2
            : lines.Length;
        var quoted = false;
        for (; i < lines.Length; i++)
        {
            var line = Clean(lines[i]);
            if (line.Length > 0 && line[0] != '>')
            {
                break;
            }

            quoted |= line.Length > 0;
        }

        // A quoted line further down would mean that this one was broken off a quoted one.
        return
            quoted
            && !Array.Exists(lines[Math.Min(i, lines.Length)..], l => Clean(l).StartsWith('>'))
            ? i
            : lines.Length;
    }

    private static string Next(string[] lines, int i) =>
        i + 1 < lines.Length ? Clean(lines[i + 1]) : "";

    // Control and format characters (zero-width, direction marks) carry no meaning here.
    private static string Clean(string line) =>
        string.Concat(
                line.Where(c =>
                    c == '\t'
                    || (
                        !char.IsControl(c)
                        && char.GetUnicodeCategory(c) != System.Globalization.UnicodeCategory.Format
                    )
                )
            )
            .Replace('\u00a0', ' ')
            .Replace('\t', ' ')
            .Trim();

    private static bool Ends(string line, string next) =>
        line.StartsWith('>')
        || line is "--" or "-- "
        || Rule().IsMatch(line)
        || Introduction().IsMatch(line)
        // Long introductions are broken over two lines.
        || (IntroductionStart().IsMatch(line) && Introduction().IsMatch($"{line} {next}"))
        || (HeaderStart().IsMatch(line) && Header().IsMatch(next))
        || Device().IsMatch(line);

    [GeneratedRegex(
        @"^(_{5,}|-{2,}\s*(original message|forwarded message|mensaje original|message d'origine|ursprüngliche nachricht|messaggio originale)\s*-{2,}|begin forwarded message:)",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Rule();

    [GeneratedRegex(
        @"^(on .{4,200} wrote|el .{4,200} escribió|le .{4,200} a écrit|am .{4,200} schrieb .{0,200}|il .{4,200} ha scritto|em .{4,200} escreveu)\s*:$",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Introduction();

    [GeneratedRegex(
        @"^(on|el|le|am|il|em)\s.*[0-9]",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex IntroductionStart();

    [GeneratedRegex(
        @"^\*?(from|de|von|da)\*?:\s",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex HeaderStart();

    [GeneratedRegex(
        @"^\*?(sent|date|to|enviado|envoyé|gesendet|inviato|datum|an|para|à)\*?\s*:",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Header();

    [GeneratedRegex(
        @"^(sent (from|via|with|by) |get outlook for|enviado desde mi|von meinem .* gesendet|envoyé de mon)",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Device();
}
