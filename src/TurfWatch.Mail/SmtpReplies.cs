using System.Globalization;
using System.Text.RegularExpressions;
using MailKit.Net.Smtp;

namespace TurfWatch.Mail;

/// <summary>What a relay's answers mean (RFC 5321 4.2.1 for the classes, RFC 3463 for the enhanced codes).</summary>
internal static partial class SmtpReplies
{
    private static readonly TimeSpan LongestHint = TimeSpan.FromDays(1);

    public static SendOutcome Classify(SmtpCommandException e)
    {
        var reply = OneLine($"{(int)e.StatusCode} {e.Message}");
        return (int)e.StatusCode switch
        {
            // RFC 4954 6: the relay wants a login first, or a better one. That is no fault of the message.
            530 or 534 or 535 or 538 or 454 => new SendOutcome.RelayDown(
                $"the relay asks for a login: {reply}"
            ),
            >= 500 => new SendOutcome.Permanent(reply, IsHardBounce(e)),
            _ => new SendOutcome.Temporary(reply, RetryHint(reply)),
        };
    }

    /// <summary>"try again in 5 minutes", "retry after 300 seconds".</summary>
    public static TimeSpan? RetryHint(string reply)
    {
        if (
            Hint().Match(reply) is not { Success: true } match
            || !int.TryParse(
                match.Groups["n"].Value,
                NumberStyles.None,
                CultureInfo.InvariantCulture,
                out var n
            )
        )
        {
            return null;
        }

        var unit = char.ToLowerInvariant(match.Groups["unit"].Value[0]) switch
        {
            'h' => TimeSpan.TicksPerHour,
            'm' => TimeSpan.TicksPerMinute,
            _ => TimeSpan.TicksPerSecond,
        };
        return TimeSpan.FromTicks((long)Math.Min(LongestHint.Ticks, (double)n * unit));
    }

    /// <summary>One line without control characters, of bounded length, mail addresses masked: fit for a log and a row.</summary>
    public static string OneLine(string text)
    {
        var line = string.Concat(text.Take(2000).Select(c => char.IsControl(c) ? ' ' : c)).Trim();
        line = Address().Replace(line, "${first}***@${domain}");
        return line.Length <= 500 ? line : line[..500];
    }

    [GeneratedRegex(
        @"(?<first>[^\s<>@,;:]{1,2})[^\s<>@,;:]{0,64}@(?<domain>[^\s<>@,;:]{1,255})",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Address();

    // 5.1.7 and 5.1.8 are about our own address, 5.1.4 and 5.1.5 do not say that it is gone; 5.1.10 is RFC 7505.
    private static bool IsHardBounce(SmtpCommandException e) =>
        e.ErrorCode == SmtpErrorCode.RecipientNotAccepted && GoneMailbox().IsMatch(e.Message);

    [GeneratedRegex(
        @"\b(?:in|after)\s+(?<n>[0-9]{1,6})\s*(?<unit>s|m|h)(?:ec|econd|in|inute|r|our)?s?\b",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Hint();

    [GeneratedRegex(
        @"^\s*5\.1\.(?:0|1|2|3|6|10)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex GoneMailbox();
}
