using System.Text.RegularExpressions;
using MimeKit;
using TurfWatch.Core;

namespace TurfWatch.Mail.Reading;

/// <summary>
/// Reports that a reader called a message of ours unwanted, in the form of RFC 5965 that providers send to senders. Who
/// complained is often blacked out; what is left of our own message says whom it went to, by keys that only we can make.
/// </summary>
internal static partial class ComplaintReports
{
    private const int MostParts = 20;
    private const int LongestType = 40;

    /// <summary>The complaint; null when the message is none, or says that a message was wanted after all.</summary>
    /// <param name="tokens">The tokens in the addresses it was sent to.</param>
    public static ComplaintReport? Of(
        MimeMessage message,
        IReadOnlyList<string> tokens,
        InboxOptions inbox
    )
    {
        var parts = message.BodyParts.Take(MostParts).ToList();
        if (parts.OfType<MessageFeedbackReport>().FirstOrDefault() is not { } report)
        {
            return null;
        }

        var type = (report.Fields["Feedback-Type"] ?? "").Trim().ToLowerInvariant();
        // RFC 5965 7.3, RFC 6591: these are no complaints.
        if (type is "" or "not-spam" or "auth-failure" or "dmarc")
        {
            return null;
        }

        var found = tokens
            .Concat(Tokens(report.Fields["Original-Mail-From"], inbox))
            .Concat(parts.SelectMany(p => OfReturned(p, inbox)))
            .ToList();
        return new(
            type.Length <= LongestType ? type : type[..LongestType],
            found.Find(t => t.StartsWith('b')),
            found.Find(t => t.StartsWith('u'))
        );
    }

    /// <summary>The tokens in what is returned of our message: whole, or its header alone.</summary>
    private static IEnumerable<string> OfReturned(MimeEntity part, InboxOptions inbox) =>
        part switch
        {
            MessagePart { Message: { } inner } => Tokens(inner.Headers["Return-Path"], inbox)
                .Concat(LeaveTokens(inner.Headers["List-Unsubscribe"], inbox)),
            TextPart text when text.ContentType.IsMimeType("text", "rfc822-headers") => InText(
                OwnText.Decoded(text),
                inbox
            ),
            _ => [],
        };

    private static IEnumerable<string> InText(string header, InboxOptions inbox)
    {
        var unfolded = Fold().Replace(header, " ");
        return Tokens(PathLine().Match(unfolded).Groups["value"].Value, inbox)
            .Concat(LeaveTokens(LeaveLine().Match(unfolded).Groups["value"].Value, inbox));
    }

    private static IEnumerable<string> Tokens(string? addresses, InboxOptions inbox) =>
        AddressTokens
            .Addresses(addresses)
            .Select(a => AddressTokens.Token(a, inbox))
            .OfType<string>();

    private static IEnumerable<string> LeaveTokens(string? header, InboxOptions inbox) =>
        header is { Length: > 0 and <= 10_000 }
            ? MailTo()
                .Matches(header)
                .Take(5)
                .Select(m =>
                    AddressTokens.Token(Uri.UnescapeDataString(m.Groups["to"].Value), inbox)
                )
                .OfType<string>()
            : [];

    [GeneratedRegex(@"\r?\n[ \t]+", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex Fold();

    [GeneratedRegex(
        @"^Return-Path:\s*(?<value>[^\r\n]{1,1000})",
        RegexOptions.IgnoreCase
            | RegexOptions.Multiline
            | RegexOptions.CultureInvariant
            | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex PathLine();

    [GeneratedRegex(
        @"^List-Unsubscribe:\s*(?<value>[^\r\n]{1,5000})",
        RegexOptions.IgnoreCase
            | RegexOptions.Multiline
            | RegexOptions.CultureInvariant
            | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex LeaveLine();

    [GeneratedRegex(
        @"mailto:(?<to>[^?>,\s]{1,400})",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex MailTo();
}
