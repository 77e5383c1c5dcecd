using MimeKit;

namespace TurfWatch.Mail.Reading;

/// <summary>The tokens in the addresses that a message was sent to. Whether they are ours is not asked here.</summary>
internal static class AddressTokens
{
    private const int MostAddresses = 50;
    private const int LongestHeader = 10_000;

    // The first ones are written by the servers on the way and name where it truly went.
    private static readonly string[] Fields =
    [
        "Delivered-To",
        "X-Original-To",
        "Envelope-To",
        "X-Envelope-To",
        "X-Delivered-To",
        "To",
        "Cc",
    ];

    public static IReadOnlyList<string> Of(MimeMessage message, InboxOptions inbox) =>
        [
            .. Fields
                .SelectMany(field =>
                    message.Headers.Where(h =>
                        string.Equals(h.Field, field, StringComparison.OrdinalIgnoreCase)
                    )
                )
                .SelectMany(h => Addresses(h.Value))
                .Take(MostAddresses)
                .Select(a => Token(a, inbox))
                .OfType<string>()
                .Distinct(StringComparer.Ordinal),
        ];

    /// <summary>The token in one address; null when it is not an address of ours with a token.</summary>
    public static string? Token(string address, InboxOptions inbox)
    {
        foreach (var own in new[] { inbox.Address, inbox.Returns })
        {
            var at = own.LastIndexOf('@');
            if (at < 1)
            {
                continue;
            }

            var head = own[..at] + inbox.Delimiter;
            var tail = own[at..];
            if (
                address.Length > head.Length + tail.Length
                && address.StartsWith(head, StringComparison.OrdinalIgnoreCase)
                && address.EndsWith(tail, StringComparison.OrdinalIgnoreCase)
            )
            {
                var token = address[head.Length..^tail.Length].ToLowerInvariant();
                if (
                    token.Length <= LinkTokens.LongestAddressToken
                    && token.All(char.IsAsciiLetterOrDigit)
                )
                {
                    return token;
                }
            }
        }

        return null;
    }

    /// <summary>The bare addresses in a header's value.</summary>
    public static IEnumerable<string> Addresses(string? value) =>
        value is { Length: > 0 and <= LongestHeader }
        && InternetAddressList.TryParse(value, out var list)
            ? list.Mailboxes.Select(m => m.GetAddress(idnEncode: true) ?? "")
            : [];
}
