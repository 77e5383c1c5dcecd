using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Fuzz.Targets;

/// <summary>Mail from anybody: reading it never throws, and what is read of it is bounded and plain.</summary>
internal static class MailTargets
{
    private static readonly Instant Received = Instant.FromUtc(2026, 11, 25, 23, 2);

    private static readonly InboxOptions Inbox = new()
    {
        Host = "imap.example.org",
        Address = "lawn@example.org",
        BounceAddress = "bounces@example.org",
    };

    public static IEnumerable<FuzzTarget> Make()
    {
        yield return new("mail", Message)
        {
            LongestInput = 256 * 1024,
            MostBytes = 96L << 20,
            MostTime = TimeSpan.FromSeconds(3),
            Words =
            [
                "Content-Type:",
                "multipart/report",
                "message/delivery-status",
                "text/html",
                "base64",
                "quoted-printable",
                "charset=utf-7",
                "boundary=",
                "Final-Recipient",
                "Status: 5.1.1",
                "Action: failed",
                "format=flowed",
                "From:",
                "Delivered-To:",
            ],
        };
        yield return new("mail-text", Text)
        {
            Words = ["wrote:", "> ", "-- ", "From:", "On Mon", "Sent:"],
        };
        yield return new("mail-html", Html)
        {
            Words =
            [
                "<div>",
                "</div>",
                "style=",
                "display:none",
                "class=gmail_quote",
                "<!--",
                "<![CDATA[",
            ],
        };
        yield return new("address", Address) { Words = ["@", ".org", "xn--", "\"", "<", "+"] };
    }

    private static void Message(byte[] input)
    {
        var mail = InboundReader.Read(input, Received, Inbox, ["example.org"]);
        Lines(mail.Lines);
        Promise.Holds(mail.Subject.Length <= 1000, "a subject without an end to it");
        Plain(mail.Subject, "a subject");
        Promise.Holds(mail.MessageId.Length <= 250, "a Message-ID without an end to it");
        Plain(mail.MessageId, "a Message-ID");
        Promise.Holds(
            mail.From.Length == 0 || AddressRule.Check(mail.From).Normalised == mail.From,
            "a sender that is no address"
        );
        Promise.Holds(
            mail.Bounce is null || mail.Bounce.Status.Length <= 9,
            "a status that is none"
        );
        foreach (var token in new[] { mail.ReplyToken, mail.Bounce?.MessageToken })
        {
            Promise.Holds(
                token is null
                    || (
                        token.Length <= LinkTokens.LongestAddressToken
                        && token.All(char.IsAsciiLetterOrDigit)
                    ),
                "a token that is none"
            );
        }
    }

    private static void Text(byte[] input) =>
        Lines(ReplyText.OwnLines(Encoding.UTF8.GetString(input)));

    private static void Html(byte[] input)
    {
        var text = HtmlText.Of(Encoding.UTF8.GetString(input));
        Promise.Holds(text.Length <= 4 * input.Length + 1000, "more text than there was HTML");
        Lines(ReplyText.OwnLines(text));
    }

    private static void Address(byte[] input)
    {
        var typed = Encoding.UTF8.GetString(input);
        var (normalised, problem) = AddressRule.Check(typed);
        Promise.Holds(normalised is null != problem is null, "neither an address nor a problem");
        if (normalised is not null)
        {
            Promise.Holds(
                normalised.Contains('@', StringComparison.Ordinal),
                "an address without an @"
            );
            Plain(normalised, "an address");
            Promise.Holds(
                !normalised.Any(char.IsWhiteSpace)
                    // Within quotes they are letters (RFC 5321 4.1.2).
                    && (normalised[0] == '"' || !normalised.Any(c => c is '<' or '>' or ',')),
                "an address with what parts addresses"
            );
            Promise.Holds(
                AddressRule.Check(normalised).Normalised == normalised,
                "an address that is another when it is read again"
            );
        }
    }

    private static void Lines(IReadOnlyList<string> lines)
    {
        Promise.Holds(lines.Count <= ReplyText.MostLines, "too many lines");
        foreach (var line in lines)
        {
            Promise.Holds(line.Length is > 0 and <= ReplyText.LongestLine, "a line too long");
            Plain(line, "a line");
        }
    }

    private static void Plain(string text, string what) =>
        Promise.Holds(!text.Any(char.IsControl), $"{what} with control characters");
}
