using System.Text.RegularExpressions;
using MimeKit;

namespace TurfWatch.Mail;

/// <summary>
/// A message of ours as words to be kept or handed out: subject and text, with every key in it struck out. A link that
/// was good for one thing, or an address that takes answers, must not live on in a copy.
/// </summary>
public static partial class KeptText
{
    /// <param name="content">The message as it was composed.</param>
    public static (string Subject, string Text) Of(byte[] content)
    {
        using var stream = new MemoryStream(content, writable: false);
        using var message = MimeMessage.Load(stream);
        return (message.Subject ?? "", Struck(message.TextBody ?? ""));
    }

    internal static string Struck(string text) =>
        AddressToken().Replace(LinkToken().Replace(text, "…"), "+…@");

    // See LinkTokens: version, key, payload, code.
    [GeneratedRegex(@"\bv[0-9]+\.[\w-]+\.[\w-]+\.[\w-]+", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex LinkToken();

    [GeneratedRegex(
        @"\+[a-z2-7]{12,64}@",
        RegexOptions.CultureInvariant | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AddressToken();
}
