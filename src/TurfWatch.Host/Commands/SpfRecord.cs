using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace TurfWatch.Host.Commands;

/// <summary>What SPF says of an address (RFC 7208, 2.6).</summary>
internal enum SpfResult
{
    None,
    Neutral,
    Pass,
    Fail,
    SoftFail,
    TempError,
    PermError,
}

/// <summary>SPF cannot be told: for good (the record is wrong) or for now (a name server does not answer).</summary>
internal sealed class SpfException(SpfResult result, string message) : Exception(message)
{
    public SpfResult Result { get; } = result;

    public static SpfException Wrong(string what) => new(SpfResult.PermError, what);
}

/// <summary>One mechanism of a record with its sign, for example <c>~mx:example.org/28</c>.</summary>
/// <param name="Text">As it stands in the record.</param>
/// <param name="Sign">What it means when it matches.</param>
/// <param name="Name">In lower case.</param>
/// <param name="Domain">The domain, macros and all; null when the record's own is meant.</param>
/// <param name="Network">Of ip4 and ip6.</param>
/// <param name="Bits4">Bits of an IPv4 address that are compared, 0 to 32.</param>
/// <param name="Bits6">Bits of an IPv6 address that are compared, 0 to 128.</param>
internal sealed record SpfTerm(
    string Text,
    SpfResult Sign,
    string Name,
    string? Domain,
    IPAddress? Network,
    int Bits4 = 32,
    int Bits6 = 128
);

/// <summary>One SPF record, read by the grammar of RFC 7208, section 12.</summary>
internal sealed record SpfRecord(IReadOnlyList<SpfTerm> Terms, string? Redirect)
{
    private const string Version = "v=spf1";

    public static bool Is(string text) =>
        text.Equals(Version, StringComparison.OrdinalIgnoreCase)
        || text.StartsWith(Version + " ", StringComparison.OrdinalIgnoreCase);

    /// <exception cref="SpfException">A term is not what it should be; the whole record is then no good (RFC 7208, 4.6).</exception>
    public static SpfRecord Read(string text)
    {
        var terms = new List<SpfTerm>();
        string? redirect = null;
        string? explanation = null;
        foreach (
            var term in text[Version.Length..].Split(' ', StringSplitOptions.RemoveEmptyEntries)
        )
        {
            if (Modifier(term) is not { } equals)
            {
                terms.Add(Directive(term));
                continue;
            }

            var value = term[(equals + 1)..];
            switch (term[..equals].ToUpperInvariant())
            {
                case "REDIRECT":
                    Once(redirect, term);
                    redirect = SpfMacro.Checked(value, term);
                    break;
                case "EXP":
                    Once(explanation, term);
                    explanation = SpfMacro.Checked(value, term);
                    break;
                default:
                    // Modifiers that nobody knows are passed over (RFC 7208, 6).
                    break;
            }
        }

        return new(terms, redirect);
    }

    private static void Once(string? already, string term)
    {
        if (already is not null)
        {
            throw SpfException.Wrong($"'{term}' stands there beside another of its kind");
        }
    }

    /// <summary>Where the equals sign of a modifier is; null when the term is none.</summary>
    private static int? Modifier(string term)
    {
        var equals = term.IndexOf('=', StringComparison.Ordinal);
        return
            equals > 0
            && char.IsAsciiLetter(term[0])
            && term[..equals].All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' or '.')
            ? equals
            : null;
    }

    private static SpfTerm Directive(string term)
    {
        var sign = term[0] switch
        {
            '-' => SpfResult.Fail,
            '~' => SpfResult.SoftFail,
            '?' => SpfResult.Neutral,
            _ => SpfResult.Pass,
        };
        var bare = term[0] is '+' or '-' or '~' or '?' ? term[1..] : term;
        var end = bare.IndexOfAny([':', '/']);
        var name = (end < 0 ? bare : bare[..end]).ToLowerInvariant();
        var rest = end < 0 ? "" : bare[end..];
        var made = new SpfTerm(term, sign, name, null, null);
        return name switch
        {
            "all" when rest.Length == 0 => made,
            "include" or "exists" when rest is [':', ..] => made with
            {
                Domain = SpfMacro.Checked(rest[1..], term),
            },
            "ptr" when rest.Length == 0 => made,
            "ptr" when rest is [':', ..] => made with
            {
                Domain = SpfMacro.Checked(rest[1..], term),
            },
            "a" or "mx" => WithPrefixes(made, rest),
            "ip4" or "ip6" when rest is [':', ..] => WithNetwork(made, rest[1..]),
            _ => throw SpfException.Wrong($"'{term}' is no term of SPF"),
        };
    }

    /// <summary>Domain and prefix lengths: <c>:example.org/24//64</c>, each of the three may be left out.</summary>
    private static SpfTerm WithPrefixes(SpfTerm term, string rest)
    {
        var six = rest.LastIndexOf("//", StringComparison.Ordinal);
        if (six >= 0)
        {
            term = term with { Bits6 = Bits(rest[(six + 2)..], 128, term.Text) };
            rest = rest[..six];
        }

        // A slash inside a macro is none of these.
        var four = rest.LastIndexOf('/');
        if (four >= 0 && !rest[four..].Contains('}', StringComparison.Ordinal))
        {
            term = term with { Bits4 = Bits(rest[(four + 1)..], 32, term.Text) };
            rest = rest[..four];
        }

        return rest.Length == 0
            ? term
            : term with
            {
                Domain = SpfMacro.Checked(rest[1..], term.Text),
            };
    }

    private static SpfTerm WithNetwork(SpfTerm term, string text)
    {
        var slash = text.IndexOf('/', StringComparison.Ordinal);
        var address = slash < 0 ? text : text[..slash];
        var isFour = term.Name == "ip4";
        var family = isFour ? AddressFamily.InterNetwork : AddressFamily.InterNetworkV6;
        if (
            !IPAddress.TryParse(address, out var network)
            || network.AddressFamily != family
            || address.Contains('%', StringComparison.Ordinal)
            || (isFour && address.Split('.').Length != 4)
        )
        {
            throw SpfException.Wrong($"'{term.Text}' names no address");
        }

        term = term with { Network = network };
        return slash < 0 ? term
            : isFour ? term with { Bits4 = Bits(text[(slash + 1)..], 32, term.Text) }
            : term with { Bits6 = Bits(text[(slash + 1)..], 128, term.Text) };
    }

    private static int Bits(string text, int most, string term) =>
        text.Length is > 0 and <= 3
        && text.All(char.IsAsciiDigit)
        && (text.Length == 1 || text[0] != '0')
        && int.Parse(text, CultureInfo.InvariantCulture) is var bits
        && bits <= most
            ? bits
            : throw SpfException.Wrong($"'{term}' has no prefix length from 0 to {most}");
}
