using System.Text;
using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>Our own messages as they come back: answered, refused, forwarded around. The quoting habits are common practice, no source.</summary>
public sealed class ThereAndBackTests
{
    private static readonly LinkTokens Tokens = TestComposer.Tokens;

    private static readonly MessageComposer Composer = new(
        new SenderOptions
        {
            FromAddress = "lawn@example.org",
            PostalAddress = "12 Elm Street, Georgetown, TX 78626",
            PublicBaseUrl = new Uri("https://watch.example.org/"),
        },
        Tokens,
        InboundCorpus.Inbox
    );

    public static TheoryData<string, string> Answers
    {
        get
        {
            var data = new TheoryData<string, string>();
            foreach (var name in Samples.All.Keys)
            {
                foreach (var habit in new[] { "above", "below", "headers", "html" })
                {
                    data.Add(name, habit);
                }
            }

            return data;
        }
    }

    [Theory]
    [MemberData(nameof(Answers))]
    public void An_answer_names_its_lawn_and_nothing_of_what_we_wrote_is_taken_for_it(
        string name,
        string habit
    )
    {
        using var ours = Sent(Samples.All[name]);
        var quoted = string.Join("\n", ours.TextBody!.Split('\n').Select(l => $"> {l}"));
        const string On = "On Fri, Nov 20, 2026 at 6:31 AM TurfWatch <lawn@example.org> wrote:";
        using var answer = Answer(ours.ReplyTo.Mailboxes.Single().Address.ToUpperInvariant());
        answer.Body = habit switch
        {
            "above" => new TextPart("plain") { Text = $"mowed 2 in\n\n{On}\n\n{quoted}" },
            "below" => new TextPart("plain") { Text = $"{On}\n{quoted}\n\nmowed 2 in\n-- \nPat" },
            "headers" => new TextPart("plain")
            {
                Text =
                    $"mowed 2 in\n\nFrom: TurfWatch <lawn@example.org>\nSent: Friday\nTo: Pat\n\n{ours.TextBody}",
            },
            _ => new TextPart("html")
            {
                Text =
                    $"<html><body><div>mowed 2 in</div><blockquote type=\"cite\">{ours.HtmlBody}</blockquote></body></html>",
            },
        };
        var mail = Read(answer);
        Assert.Equal(InboundKind.Person, mail.Kind);
        Assert.Equal(["mowed 2 in"], mail.Lines);
        Assert.True(Tokens.TryReadReply(mail.ReplyToken!, out var lawn, out _));
        Assert.Equal(Samples.All[name].Lawn.Id, lawn);
    }

    [Theory]
    [MemberData(nameof(Samples.Names), MemberType = typeof(Samples))]
    public void A_message_of_ours_that_comes_back_is_a_robots(string name)
    {
        using var ours = Sent(Samples.All[name]);
        Assert.Equal(InboundKind.Robot, Read(ours).Kind);
        // Also when a server on the way took off all marks but the name.
        using var bare = Answer("lawn@example.org");
        bare.MessageId = ours.MessageId!;
        bare.Body = new TextPart("plain") { Text = ours.TextBody! };
        Assert.Equal(InboundKind.Robot, Read(bare).Kind);
    }

    [Fact]
    public void Notices_that_come_back_are_a_robots()
    {
        foreach (var notice in Samples.Notices.Values)
        {
            var row = Composer.Compose(notice, 41, "pat@example.net", "k", Now, Now);
            Assert.Equal(InboundKind.Robot, InboundCorpus.Read(row.Content).Kind);
        }
    }

    [Fact]
    public void A_report_to_the_return_path_names_the_subscriber()
    {
        var row = Compose(Samples.Dew());
        var report = $"""
            Return-Path: <>
            From: MAILER-DAEMON@mx.example.com
            To: {row.EnvelopeSender.ToUpperInvariant()}
            Subject: Undelivered Mail Returned to Sender
            MIME-Version: 1.0
            Content-Type: multipart/report; report-type=delivery-status; boundary=mm

            --mm
            Content-Type: message/delivery-status

            Reporting-MTA: dns; mx.example.com

            Final-Recipient: rfc822; pat@example.net
            Action: failed
            Status: 5.1.1

            --mm
            Content-Type: message/rfc822

            {Encoding.ASCII.GetString(row.Content)}
            --mm--
            """;
        var mail = InboundCorpus.Read(Encoding.ASCII.GetBytes(report));
        Assert.Equal(InboundKind.Bounce, mail.Kind);
        Assert.Equal("5.1.1", Assert.IsType<BounceReport>(mail.Bounce).Status);
        Assert.True(Tokens.TryReadBounce(mail.Bounce.MessageToken!, out var who));
        Assert.Equal(Samples.Reader.Id, who);
        Assert.DoesNotContain("Stop", string.Join('|', mail.Lines), StringComparison.Ordinal);
    }

    [Fact]
    public void A_stranger_cannot_make_a_token_of_one_for_another()
    {
        // What a person can see of the tokens: the reply address, the return path, the address to leave.
        var row = Compose(Samples.Dew());
        using var ours = Sent(Samples.Dew());
        var reply = ours.ReplyTo.Mailboxes.Single().Address.Split('+', '@')[1];
        var path = row.EnvelopeSender.Split('+', '@')[1];
        foreach (var token in new[] { reply, path })
        {
            foreach (var prefix in "rcub")
            {
                for (var i = 1; i < token.Length; i++)
                {
                    foreach (var letter in "az27")
                    {
                        var forged = prefix + token[1..i] + letter + token[(i + 1)..];
                        if (forged != token)
                        {
                            Assert.False(
                                Tokens.TryReadReply(forged, out _, out _)
                                    || Tokens.TryReadBounce(forged, out _)
                                    || Tokens.TryReadLeave(forged, out _)
                                    || Tokens.TryReadConfirm(forged, Now, out _)
                            );
                        }
                    }
                }
            }
        }
    }

    private static Instant Now => Samples.At(7);

    private static OutboxMessage Compose(MessageContent content) =>
        Composer.Compose(content, Samples.Reader, "2026-11-20#12", Samples.At(6), Samples.At(9));

    private static MimeMessage Sent(MessageContent content)
    {
        using var stream = new MemoryStream(Compose(content).Content);
        return MimeMessage.Load(stream);
    }

    private static MimeMessage Answer(string to)
    {
        var answer = new MimeMessage();
        answer.From.Add(new MailboxAddress("Pat", "pat@example.net"));
        answer.To.Add(MailboxAddress.Parse(to));
        answer.Subject = "Re: Mow later today";
        return answer;
    }

    private static InboundMail Read(MimeMessage message)
    {
        using var bytes = new MemoryStream();
        message.WriteTo(bytes);
        return InboundCorpus.Read(bytes.ToArray());
    }
}
