using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;

namespace TurfWatch.Host.Commands;

/// <summary>The macros of SPF (RFC 7208, 7), filled in for one message.</summary>
/// <param name="Address">Where the message comes from.</param>
/// <param name="Sender">Its envelope sender.</param>
/// <param name="Helo">What the machine calls itself.</param>
internal sealed record SpfMacro(IPAddress Address, string Sender, string Helo)
{
    private const int LongestName = 253;
    private const string Delimiters = ".-+,/_=";

    private static readonly SpfMacro Trial = new(IPAddress.Loopback, "a@b.example", "b.example");

    /// <summary>The text as it is, if it is a domain with or without macros.</summary>
    /// <exception cref="SpfException">It is none.</exception>
    public static string Checked(string text, string term)
    {
        var name = Trial.Expand(text, "b.example", term);
        var top = name.TrimEnd('.').Split('.');
        var isMacro = text.EndsWith('}') || text.EndsWith("%%", StringComparison.Ordinal);
        return
            text.Length > 0
            && text.All(c => c is > ' ' and <= '~')
            && (isMacro || (top.Length > 1 && IsTop(top[^1])))
            ? text
            : throw SpfException.Wrong($"'{term}' names no domain");
    }

    /// <summary>A domain with its macros filled in; too long a name loses labels on its left (RFC 7208, 7.3).</summary>
    /// <exception cref="SpfException">A macro is not written as one.</exception>
    public string Expand(string text, string domain, string term)
    {
        var made = new StringBuilder();
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] != '%')
            {
                made.Append(text[i]);
                continue;
            }

            var next = ++i < text.Length ? text[i] : ' ';
            if (next == '{' && text.IndexOf('}', i) is var end and > 0)
            {
                made.Append(Filled(text[(i + 1)..end], domain, term));
                i = end;
                continue;
            }

            made.Append(
                next switch
                {
                    '%' => "%",
                    '_' => " ",
                    '-' => "%20",
                    _ => throw NoMacro(term),
                }
            );
        }

        var name = made.ToString();
        while (name.Length > LongestName && name.Contains('.', StringComparison.Ordinal))
        {
            name = name[(name.IndexOf('.', StringComparison.Ordinal) + 1)..];
        }

        return name;
    }

    private static bool IsTop(string label) =>
        label.Length > 0
        && label.All(c => char.IsAsciiLetterOrDigit(c) || c == '-')
        && label[0] != '-'
        && label[^1] != '-'
        && !label.All(char.IsAsciiDigit);

    /// <summary>What stands between the braces: a letter, how many parts from the right, whether reversed, and at what to cut.</summary>
    private string Filled(string macro, string domain, string term)
    {
        if (macro.Length == 0)
        {
            throw NoMacro(term);
        }

        var at = 1;
        while (at < macro.Length && char.IsAsciiDigit(macro[at]))
        {
            at++;
        }

        var digits = macro[1..at];
        var reversed = at < macro.Length && macro[at] is 'r' or 'R';
        at += reversed ? 1 : 0;
        var cuts = macro[at..];
        if (
            digits.Length > 3
            || cuts.Any(c => !Delimiters.Contains(c, StringComparison.Ordinal))
            || (digits.Length > 0 && digits.All(c => c == '0'))
        )
        {
            throw NoMacro(term);
        }

        var parts = Value(macro[0], domain, term)
            .Split(cuts.Length == 0 ? ['.'] : cuts.ToCharArray())
            .AsEnumerable();
        parts = reversed ? parts.Reverse() : parts;
        return string.Join(
            '.',
            digits.Length == 0
                ? parts
                : parts.TakeLast(int.Parse(digits, CultureInfo.InvariantCulture))
        );
    }

    private string Value(char letter, string domain, string term)
    {
        var at = Sender.LastIndexOf('@');
        return char.ToLowerInvariant(letter) switch
        {
            's' => Sender,
            'l' => Sender[..at],
            'o' => Sender[(at + 1)..],
            'd' => domain,
            'i' => Address.AddressFamily == AddressFamily.InterNetwork
                ? Address.ToString()
                : string.Join(
                    '.',
                    Convert.ToHexStringLower(Address.GetAddressBytes()).AsEnumerable()
                ),
            // To look the name up is discouraged, and this is what then stands in for it (RFC 7208, 7.3).
            'p' => "unknown",
            'v' => Address.AddressFamily == AddressFamily.InterNetwork ? "in-addr" : "ip6",
            'h' => Helo,
            _ => throw NoMacro(term),
        };
    }

    private static SpfException NoMacro(string term) =>
        SpfException.Wrong($"'{term}' has a macro that is none");
}
