using System.Text;
using CsCheck;
using MimeKit;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>Headers as the standards of list mail ask for them: RFC 5322, 2369, 2919, 3834, 8058.</summary>
public sealed class MessageHeadersTests
{
    private static readonly string[] Expected =
    [
        "Auto-Submitted",
        "Content-Type",
        "Date",
        "From",
        "List-Help",
        "List-Id",
        "List-Owner",
        "List-Unsubscribe",
        "List-Unsubscribe-Post",
        "MIME-Version",
        "Message-Id",
        "Precedence",
        "Reply-To",
        "Subject",
        "To",
        "X-Auto-Response-Suppress",
    ];

    internal static readonly string[] Nasty =
    [
        "\r\n",
        "\n",
        "\r",
        "\0",
        "\u0085",
        "\u2028",
        "\v",
        "\f",
        "\r\nBcc: victim@example.com\r\n",
        "\nTo: victim@example.com\n\n",
        "=?utf-8?q?=0D=0ABcc:_x@y.z?=",
        "=?utf-8?b?DQpCY2M6IHhAeS56?=",
        "\ud800",
        "😀",
        "\"<a@b.c>,",
        "{0}",
        "}",
        "\u202E",
        "é ",
    ];

    [Theory]
    [MemberData(nameof(Samples.Names), MemberType = typeof(Samples))]
    public void Every_message_parses_and_carries_the_headers_of_list_mail(string name)
    {
        var content = Samples.All[name];
        var row = Compose(content);
        using var message = Parse(row);
        var headers = message.Headers;
        Assert.Equal(
            Expected
                .Where(f => f is not "Content-Type") // MimeKit keeps it with the body
                .Concat(content is SeasonAlert ? ["References"] : Array.Empty<string>())
                .Order(StringComparer.Ordinal),
            headers.Select(h => h.Field).Order(StringComparer.Ordinal)
        );
        Assert.Equal(row.MessageId, message.MessageId);
        Assert.Equal("lawn@watch.example.org", message.From.Mailboxes.Single().Address);
        Assert.Equal("pat+lawn@example.net", message.To.Mailboxes.Single().Address);
        Assert.Equal(row.Recipient, message.To.Mailboxes.Single().Address);
        var zone = content.Lawn.Place.Zone;
        Assert.Equal(content.MadeAt.InZone(zone).ToDateTimeOffset(), message.Date);
        Assert.Equal(
            zone.GetUtcOffset(content.MadeAt).ToTimeSpan(), // -5 in summer time, -6 after it
            message.Date.Offset
        );
        var (list, subject) = content switch
        {
            SeasonAlert => ("season", "Lawn season: "),
            SeasonDigest => ("weeks", "Lawn week: "),
            _ => ("mornings", ""),
        };
        Assert.Equal($"<{list}.watch.example.org>", headers["List-Id"]);
        Assert.StartsWith(subject, message.Subject, StringComparison.Ordinal);
        Assert.Equal("List-Unsubscribe=One-Click", headers["List-Unsubscribe-Post"]);
        Assert.Equal("auto-generated", headers["Auto-Submitted"]);
        Assert.Equal("list", headers["Precedence"]);
        Assert.Equal("OOF, AutoReply", headers["X-Auto-Response-Suppress"]);
        Assert.DoesNotContain("78626", message.Subject, StringComparison.Ordinal);
        Assert.IsType<MultipartAlternative>(message.Body);
        Assert.Equal(
            ["text/plain", "text/html"],
            message.BodyParts.Select(p => p.ContentType.MimeType).Where(t => t != "image/png")
        );
        Assert.All(row.Content, b => Assert.InRange(b, (byte)1, (byte)126));
        Assert.All(
            Encoding.ASCII.GetString(row.Content).Split("\r\n"),
            l => Assert.True(l.Length <= 998 && !l.Contains('\n') && !l.Contains('\r'), l)
        );
    }

    [Fact]
    public void The_links_to_leave_are_for_this_reader_and_this_purpose()
    {
        using var message = Parse(Compose(Samples.Dew()));
        var both = message.Headers["List-Unsubscribe"]!;
        Assert.Matches(
            "^<https://watch.example.org/u/v1[^>]+>, <mailto:keeper@watch.example.org\\?subject=unsubscribe%20v1[^>]+>$",
            both
        );
        var token = both.Split("/u/")[1].Split('>')[0];
        Assert.True(
            TestComposer.Tokens.TryRead(MessageComposer.UnsubscribePurpose, token, out var id)
        );
        Assert.Equal(Samples.Reader.Id, id);
        Assert.Contains($"/u/{token}", message.TextBody, StringComparison.Ordinal);
        Assert.Contains(
            $"href=\"https://watch.example.org/u/{token}\"",
            message.HtmlBody,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain("example.net", both, StringComparison.Ordinal); // no address in a link
    }

    [Fact]
    public void Signs_with_a_meaning_in_links_are_escaped_in_every_mail_link()
    {
        // RFC 6068 2: "?" and "&" in an address would end it.
        var sender = new SenderOptions
        {
            FromAddress = "lawn@home.example.org",
            OwnerAddress = "pat?care&co@home.example.org",
            PostalAddress = "12 Elm Street",
        };
        Assert.Empty(sender.Faults());
        var row = TestComposer
            .Make(sender)
            .Compose(Samples.Dew(), Samples.Reader, "k", Samples.At(6), Samples.At(9));
        using var message = Parse(row);
        const string Escaped = "mailto:pat%3Fcare%26co@home.example.org";
        Assert.StartsWith(
            $"<{Escaped}?subject=unsubscribe",
            message.Headers["List-Unsubscribe"],
            StringComparison.Ordinal
        );
        Assert.Equal($"<{Escaped}?subject=help>", message.Headers["List-Help"]);
        Assert.Equal($"<{Escaped}>", message.Headers["List-Owner"]);
        Assert.Contains($"href=\"{Escaped}\"", message.HtmlBody, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_public_address_one_leaves_by_mail_and_no_one_click_is_promised()
    {
        var sender = new SenderOptions
        {
            FromAddress = "lawn@home.example.org",
            PostalAddress = "12 Elm Street",
        };
        var row = TestComposer
            .Make(sender)
            .Compose(Samples.Dew(), Samples.Reader, "k", Samples.At(6), Samples.At(9));
        using var message = Parse(row);
        Assert.Null(message.Headers["List-Unsubscribe-Post"]);
        Assert.StartsWith(
            "<mailto:lawn@home.example.org?",
            message.Headers["List-Unsubscribe"],
            StringComparison.Ordinal
        );
        Assert.Contains(
            "mailto:lawn@home.example.org?subject=unsubscribe",
            message.TextBody,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void The_same_key_gives_the_same_bytes_and_another_key_another_message_id()
    {
        var first = Compose(Samples.Dew());
        Assert.Equal(first.Content, Compose(Samples.Dew()).Content);
        var others = new[]
        {
            Compose(Samples.Dew(), "2026-11-21#12"),
            Compose(Samples.Dew() with { Kind = MessageKind.Digest }),
            TestComposer
                .Make()
                .Compose(
                    Samples.Dew(),
                    Samples.Reader with
                    {
                        Id = 42,
                    },
                    first.Key,
                    Samples.At(6),
                    Samples.At(9)
                ),
        };
        Assert.All(others, o => Assert.NotEqual(first.MessageId, o.MessageId));
        Assert.EndsWith("@watch.example.org", first.MessageId, StringComparison.Ordinal);
    }

    [Fact]
    public void No_text_from_anywhere_becomes_a_header()
    {
        var piece = Gen.OneOf(Gen.Int[0, Nasty.Length - 1].Select(n => Nasty[n]), Gen.String[0, 8]);
        var text = piece.Array[0, 6].Select(string.Concat);
        Gen.Select(text, text, text, text)
            .Sample(
                (name, town, said, from) =>
                {
                    var briefing = Small(name, town, said);
                    var sender = new SenderOptions
                    {
                        FromName = from,
                        FromAddress = "lawn@watch.example.org",
                        PostalAddress = said,
                        PublicBaseUrl = new Uri("https://watch.example.org"),
                    };
                    var row = TestComposer
                        .Make(sender)
                        .Compose(briefing, Samples.Reader, "k", Samples.At(6), Samples.At(9));
                    Assert.Equal(
                        Expected.Order(StringComparer.Ordinal),
                        Fields(row.Content).Order(StringComparer.Ordinal)
                    );
                    Assert.Equal("pat+lawn@example.net", row.Recipient);
                },
                iter: 10_000
            );
    }

    [Fact]
    public void The_mail_library_is_one_that_encodes_what_is_hostile() =>
        // The project's floor; older releases are said to let line breaks into the envelope (from memory, unverified).
        Assert.True(
            typeof(MimeMessage).Assembly.GetName().Version >= new Version(4, 16)
                && typeof(MailKit.Net.Smtp.SmtpClient).Assembly.GetName().Version
                    >= new Version(4, 16)
        );

    /// <summary>Names of the header fields, read by hand: a line is a field or goes on with one.</summary>
    internal static List<string> Fields(byte[] content)
    {
        var text = Encoding.Latin1.GetString(content);
        var head = text[..text.IndexOf("\r\n\r\n", StringComparison.Ordinal)];
        Assert.DoesNotContain('\0', head);
        var fields = new List<string>();
        foreach (var line in head.Split("\r\n"))
        {
            Assert.True(!line.Contains('\r') && !line.Contains('\n'), "a bare CR or LF");
            if (line[0] is not (' ' or '\t'))
            {
                fields.Add(line[..line.IndexOf(':', StringComparison.Ordinal)]);
            }
        }

        return fields;
    }

    private static Briefing Small(string name, string town, string said) =>
        Samples.Dew() with
        {
            Lawn = Samples.Dew().Lawn with
            {
                Name = name,
                Place = Samples.Town with { Name = town },
            },
            Subject = Phrase.Of($"Mow from {At()}: {said}"),
            Headline = Phrase.Of($"{said}"),
            Hours = [],
            Facts = [],
            Cautions = [],
            Data = [],
            Mowing = new(MowingVerdict.NotToday, null, null, null, null, []),
        };

    private static Instant At() => Samples.At(10, 30);

    private static OutboxMessage Compose(MessageContent content, string key = "2026-11-20#12") =>
        TestComposer.Make().Compose(content, Samples.Reader, key, Samples.At(6), Samples.At(9));

    private static MimeMessage Parse(OutboxMessage row)
    {
        using var stream = new MemoryStream(row.Content);
        return MimeMessage.Load(stream);
    }
}
