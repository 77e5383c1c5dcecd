using System.Text.RegularExpressions;
using MimeKit;

namespace TurfWatch.Mail.Reading;

/// <summary>
/// Whether a robot wrote a message, so that it must not be answered (RFC 3834 2, and the marks of older robots). Missing
/// one may begin an endless exchange; taking a person for one only leaves a message unanswered.
/// </summary>
internal static partial class Robots
{
    private static readonly string[] Marks =
    [
        "X-Autoreply",
        "X-Auto-Reply",
        "X-Autorespond",
        "X-Autoresponder",
        "X-Autoreply-From",
        "X-Mail-Autoreply",
        "X-MS-Exchange-Inbox-Rules-Loop",
    ];

    public static bool Wrote(
        MimeMessage message,
        InboxOptions inbox,
        IReadOnlyCollection<string> ownDomains
    ) =>
        message.Headers.Any(IsMark)
        || IsReport(message.Body)
        || Senders(message).Any(a => RobotName().IsMatch(a) || IsOurs(a, inbox))
        || AwaySubject().IsMatch(message.Subject ?? "")
        || IsOurOwn(message.MessageId ?? "", ownDomains);

    private static bool IsMark(Header header)
    {
        var value = (header.Value ?? "").Trim();
        return header.Field.ToLowerInvariant() switch
        {
            // RFC 3834 5: a word, then parameters or comments.
            "auto-submitted" => !value
                .Split(';', '(', ' ')[0]
                .Trim()
                .Equals("no", StringComparison.OrdinalIgnoreCase),
            "precedence" => value.ToLowerInvariant() is "bulk" or "junk" or "list" or "auto_reply",
            "return-path" => value is "<>" or "< >",
            var field => field.StartsWith("list-", StringComparison.Ordinal)
                || Marks.Contains(header.Field, StringComparer.OrdinalIgnoreCase),
        };
    }

    // Receipts of reading and complaints (RFC 8098, RFC 5965) are written by programs.
    private static bool IsReport(MimeEntity? body) =>
        body is not null && body.ContentType.IsMimeType("multipart", "report");

    private static IEnumerable<string> Senders(MimeMessage message) =>
        message
            .From.Mailboxes.Take(10)
            .Append(message.Sender)
            .OfType<MailboxAddress>()
            .Select(m => m.Address ?? "")
            .Concat(AddressTokens.Addresses(message.Headers["Return-Path"]).Take(1));

    private static bool IsOurs(string address, InboxOptions inbox) =>
        string.Equals(address, inbox.Address, StringComparison.OrdinalIgnoreCase)
        || string.Equals(address, inbox.Returns, StringComparison.OrdinalIgnoreCase)
        || AddressTokens.Token(address, inbox) is not null;

    // The domain alone would shut out a household that writes from the domain of its service: many mail programs
    // name their messages by the writer's domain. Ours are named by 32 hexadecimal digits.
    private static bool IsOurOwn(string messageId, IReadOnlyCollection<string> ownDomains) =>
        OwnName().Match(messageId) is { Success: true } match
        && ownDomains.Contains(match.Groups["domain"].Value, StringComparer.OrdinalIgnoreCase);

    [GeneratedRegex(
        @"^(mailer-?daemon|postmaster|no-?reply|do-?not-?reply|nobody|listserv|majordomo|root|owner-.*|.*-(owner|request|bounces?)|bounces?([+=-].*)?|(no-?reply|do-?not-?reply)[+._-].*|.*[+._-](no-?reply|do-?not-?reply))@",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex RobotName();

    // What programs that set no header write before the subject.
    [GeneratedRegex(
        @"^\s*\[?(automatic(ally generated)? reply|auto[- ]?(reply|response)|out of (the )?office|automatische antwort|abwesenheits(notiz|meldung)|réponse automatique|absence du bureau|respuesta automática|fuera de (la )?oficina|risposta automatica|fuori (sede|ufficio)|resposta automática|automatisch antwoord)\b",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex AwaySubject();

    [GeneratedRegex(
        @"^[0-9a-f]{32}@(?<domain>[^@]+)$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex OwnName();
}
