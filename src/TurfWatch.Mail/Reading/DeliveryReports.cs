using System.Text.RegularExpressions;
using MimeKit;
using TurfWatch.Core;

namespace TurfWatch.Mail.Reading;

/// <summary>Reports that a message could not be delivered, or not yet: in the form of RFC 3464, and in the words of servers that do not keep to it.</summary>
internal static partial class DeliveryReports
{
    private const int MostParts = 100;
    private const int MostGroups = 50;

    private readonly record struct Failure(string Status, bool Permanent);

    /// <summary>The report; null when the message is none, or tells that all went well.</summary>
    /// <param name="text">The message's text, for servers that tell it in words.</param>
    /// <param name="tokens">The tokens in the addresses it was sent to.</param>
    public static BounceReport? Of(
        MimeMessage message,
        string text,
        IReadOnlyList<string> tokens,
        InboxOptions inbox
    )
    {
        var parts = message.BodyParts.Take(MostParts).ToList();
        var report = parts.OfType<MessageDeliveryStatus>().FirstOrDefault();
        var failure =
            report is not null && Tells(report) ? Worst(report)
            : SaysSo(message) ? InWords(message, text)
            : null;
        return failure is { } found
            ? new(
                ReturnPath(tokens) ?? ReturnPath(Returned(parts, inbox)),
                found.Status,
                found.Permanent
            )
            : null;
    }

    // Return paths are the tokens that begin with b, see LinkTokens.
    private static string? ReturnPath(IEnumerable<string> tokens) =>
        tokens.FirstOrDefault(t => t.StartsWith('b'));

    /// <summary>The tokens of the returned message's own return path, for a report that came by another address.</summary>
    private static IEnumerable<string> Returned(List<MimeEntity> parts, InboxOptions inbox)
    {
        foreach (var part in parts)
        {
            var path = part switch
            {
                MessagePart { Message: { } inner } => inner.Headers["Return-Path"],
                TextPart text when text.ContentType.IsMimeType("text", "rfc822-headers") =>
                    PathLine().Match(OwnText.Decoded(text)).Groups["path"].Value,
                _ => null,
            };
            foreach (var address in AddressTokens.Addresses(path))
            {
                if (AddressTokens.Token(address, inbox) is { } token)
                {
                    yield return token;
                }
            }
        }
    }

    // Some write the part so badly that only the words for people are left.
    private static bool Tells(MessageDeliveryStatus report) =>
        report.StatusGroups.Take(MostGroups).Any(g => g.Contains("Action") || g.Contains("Status"));

    /// <summary>The worst of what happened to the recipients (RFC 3464 2.3.3); null when nothing failed.</summary>
    private static Failure? Worst(MessageDeliveryStatus report)
    {
        Failure? worst = null;
        foreach (var group in report.StatusGroups.Take(MostGroups))
        {
            var status = Enhanced().Match(group["Status"] ?? "").Value;
            var diagnosis = group["Diagnostic-Code"] ?? "";
            if (status.Length == 0 || status.EndsWith(".0.0", StringComparison.Ordinal))
            {
                // "5.0.0" says nothing; what the other server answered may say more.
                var said = Enhanced().Match(diagnosis).Value;
                status = said.Length > 0 ? said : status;
            }

            Failure? failure = (group["Action"] ?? "")
                .Trim()
                .Split(' ', '(', ';')[0]
                .ToLowerInvariant() switch
            {
                "failed" => new(status, IsPermanent(status, diagnosis)),
                "delayed" => new(status, Permanent: false),
                "delivered" or "relayed" or "expanded" => null,
                _ => status is ['4' or '5', ..]
                    ? new(status, IsPermanent(status, diagnosis))
                    : null,
            };
            if (failure is { } found && worst is not { Permanent: true })
            {
                worst = worst is null || found.Permanent ? found : worst;
            }
        }

        return worst;
    }

    private static bool IsPermanent(string status, string diagnosis) =>
        status.Length > 0 ? status[0] == '5' : ReplyCode().Match(diagnosis).Value is ['5', ..];

    /// <summary>A mail server wrote it about a message of ours.</summary>
    private static bool SaysSo(MimeMessage message) =>
        message.Headers.Contains("X-Failed-Recipients")
        || (IsFromServer(message) && Subject().IsMatch(message.Subject ?? ""));

    private static bool IsFromServer(MimeMessage message) =>
        message.Headers["Return-Path"]?.Trim() is "<>"
        || message.From.Mailboxes.Take(5).Any(m => ServerName().IsMatch(m.Address ?? ""))
        || message.From.Count == 0;

    private static Failure InWords(MimeMessage message, string text)
    {
        var status = Enhanced().Match(text).Value;
        var waits = Waiting().IsMatch(message.Subject ?? "") || WillRetry().IsMatch(text);
        var permanent =
            !waits
            && (
                status.Length > 0 ? status[0] == '5'
                : ReplyCode().Match(text).Value is { Length: > 0 } code ? code[0] == '5'
                : Gone().IsMatch(text)
            );
        return new(status, permanent);
    }

    // RFC 3463 2: class, subject, detail; not a part of a longer number such as an address of a machine.
    [GeneratedRegex(
        @"(?<![0-9.])[245]\.[0-7]\.[0-9]{1,3}(?!\.?[0-9])",
        RegexOptions.CultureInvariant,
        1000
    )]
    private static partial Regex Enhanced();

    // RFC 5321 4.2: the reply codes that end a delivery.
    [GeneratedRegex(@"(?<![0-9.:])[45][0-5][0-9](?=[ \-])", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex ReplyCode();

    [GeneratedRegex(
        @"^(mailer-?daemon|postmaster|mail-?daemon|mdaemon)@",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex ServerName();

    [GeneratedRegex(
        @"undeliver|returned (mail|to sender)|failure notice|delivery (status )?(notification|failure|failed|has failed|incomplete|problem)|delivery status|mail delivery|delayed|unzustellbar|nicht zugestellt|non remis|échec de (la )?remise|no se puede entregar|no entregado|mancato recapito|niet bezorgd|não entregue",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Subject();

    [GeneratedRegex(
        @"delayed|warning|verzöger|retard|incomplete",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant,
        1000
    )]
    private static partial Regex Waiting();

    [GeneratedRegex(
        @"will (be retried|keep trying|continue to try|try again)|still (trying|being retried)|no action is required on your part",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex WillRetry();

    [GeneratedRegex(
        @"(user|recipient|mailbox|address|account)\b.{0,40}\b(unknown|not found|does not exist|doesn't exist|disabled|unavailable|rejected)|(unknown|no such|invalid) (user|recipient|mailbox|address)|unrouteable",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Gone();

    [GeneratedRegex(
        @"^Return-Path:\s*(?<path><[^<>\r\n]{1,320}>)",
        RegexOptions.IgnoreCase
            | RegexOptions.Multiline
            | RegexOptions.CultureInvariant
            | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex PathLine();
}
