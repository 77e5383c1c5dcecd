using System.Globalization;
using System.Text;
using MimeKit;

namespace TurfWatch.Mail;

/// <summary>Which typed addresses are taken: a bare address with a dotted domain, nothing around it.</summary>
public static class AddressRule
{
    private const int MaxOctets = 254; // RFC 5321 4.5.3.1.3: a path is at most 256 octets, brackets included.
    private const int MaxLocalOctets = 64; // RFC 5321 4.5.3.1.1.

    private static readonly IdnMapping Idn = new() { UseStd3AsciiRules = true };

    /// <summary>
    /// The address to store (domain in lower-case ASCII form, local part as typed), or one sentence
    /// that says what is wrong; one of the two is null.
    /// </summary>
    public static (string? Normalised, string? Problem) Check(string typed)
    {
        var address = typed.Trim();
        if (address.Length == 0)
        {
            return (null, "No address was given.");
        }

        if (address.Any(c => char.IsControl(c) || char.IsWhiteSpace(c) || IsInvisible(c)))
        {
            return (
                null,
                "An address holds no spaces, line breaks, control or invisible characters; type it rather than paste it."
            );
        }

        if (Encoding.UTF8.GetByteCount(address) > MaxOctets)
        {
            return (null, $"An address has at most {MaxOctets} characters.");
        }

        var at = address.LastIndexOf('@');
        if (at < 1 || at == address.Length - 1)
        {
            return (null, "An address has a name, an @ and a domain, such as pat@example.org.");
        }

        var (local, domain) = (address[..at], address[(at + 1)..]);
        if (Encoding.UTF8.GetByteCount(local) > MaxLocalOctets)
        {
            return (null, $"The part before the @ has at most {MaxLocalOctets} characters.");
        }

        string ascii;
        try
        {
            ascii = Idn.GetAscii(domain).ToLowerInvariant();
        }
        catch (ArgumentException)
        {
            return (null, "The part after the @ is not a domain name.");
        }

        if (
            !ascii.Contains('.', StringComparison.Ordinal)
            || Uri.CheckHostName(ascii) != UriHostNameType.Dns
            || char.IsAsciiDigit(ascii[^1])
        )
        {
            return (null, "The part after the @ must be a domain with a dot, such as example.org.");
        }

        var normalised = $"{local}@{ascii}";
        if (
            Encoding.UTF8.GetByteCount(normalised) > MaxOctets
            || !MailboxAddress.TryParse(normalised, out var mailbox)
            || !string.IsNullOrEmpty(mailbox.Name)
            || mailbox.Route.Count > 0
            || !IsPlainOrQuoted(local)
            || !string.Equals(
                mailbox.GetAddress(idnEncode: true),
                normalised,
                StringComparison.Ordinal
            )
        )
        {
            return (
                null,
                "This is not a bare mail address; write it without a name, brackets or quotes, such as pat@example.org."
            );
        }

        return (normalised, null);
    }

    /// <summary>
    /// The address without what follows a plus in it, which is the reader's own label: one mailbox has many spellings,
    /// and limits count mailboxes.
    /// </summary>
    public static string WithoutTag(string address)
    {
        var at = address.LastIndexOf('@');
        var plus = address.IndexOf('+', StringComparison.Ordinal);
        return plus > 0 && plus < at ? address[..plus] + address[at..] : address;
    }

    // RFC 5321 4.1.2: words with dots, or one word in quotes. Both in one is of old headers (RFC 5322 4.4) and hides what parts
    // addresses.
    private static bool IsPlainOrQuoted(string local) =>
        !local.Contains('"', StringComparison.Ordinal)
        || (
            local is ['"', .. var within, '"']
            && !within
                .Replace("\\\\", "", StringComparison.Ordinal)
                .Replace("\\\"", "", StringComparison.Ordinal)
                .Contains('"', StringComparison.Ordinal)
        );

    private static bool IsInvisible(char c) => char.GetUnicodeCategory(c) == UnicodeCategory.Format;
}
