using CsCheck;
using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Mail.Tests;

/// <summary>Letters of the service about itself, and where answers and refused mail go when a mailbox is named.</summary>
public sealed class NoticeTests
{
    private static readonly InboxOptions Inbox = new()
    {
        Host = "imap.example.org",
        Address = "lawn@example.org",
        BounceAddress = "bounces@example.org",
    };

    private static readonly Instant Now = Samples.At(7);

    private static MessageComposer Composer => new(Samples.Sender, TestComposer.Tokens, Inbox);

    [Fact]
    public void A_receipt_answers_its_message_and_nothing_can_come_back_to_it()
    {
        var row = Compose(Samples.MowedReceipt());
        Assert.Equal("", row.EnvelopeSender);
        using var message = Parse(row);
        Assert.Equal("auto-replied", message.Headers["Auto-Submitted"]);
        Assert.Equal("q1@mail.example.net", message.InReplyTo);
        Assert.Equal(["q1@mail.example.net"], message.References);
        Assert.DoesNotContain(
            message.Headers,
            h => h.Field.StartsWith("List-", StringComparison.OrdinalIgnoreCase)
        );
        var reply = message.ReplyTo.Mailboxes.Single().Address;
        Assert.StartsWith("lawn+r", reply, StringComparison.Ordinal);
        Assert.True(TestComposer.Tokens.TryReadReply(Token(reply), out var lawn, out _));
        Assert.Equal(12, lawn);
        Assert.Equal("Mowed on Friday: noted", message.Subject);
        foreach (var (path, purpose, id) in Receipted)
        {
            var token = Between(message.TextBody!, $"https://watch.example.org/{path}", "\n");
            Assert.True(
                TestComposer.Tokens.TryRead(
                    purpose,
                    token,
                    Now + LinkPaths.Lifetime(purpose) - Duration.FromSeconds(1),
                    out var read
                )
            );
            Assert.Equal(id, read);
            Assert.False(
                TestComposer.Tokens.TryRead(
                    purpose,
                    token,
                    Now + LinkPaths.Lifetime(purpose),
                    out _
                )
            );
            Assert.Contains(
                $"href=\"https://watch.example.org/{path}{token}\"",
                message.HtmlBody!,
                StringComparison.Ordinal
            );
            Assert.Contains(
                $">https://watch.example.org/{path}{token}</p>",
                message.HtmlBody!,
                StringComparison.Ordinal
            );
        }
    }

    private static IEnumerable<(string Path, LinkPurpose Purpose, long Id)> Receipted =>
        [("undo/", LinkPurpose.Undo, 77), ("lawn/", LinkPurpose.LawnPage, 12)];

    [Fact]
    public void A_request_to_confirm_can_be_answered_or_clicked_or_ended_for_good()
    {
        var row = Compose(Samples.ConfirmationNotice());
        Assert.StartsWith("bounces+b", row.EnvelopeSender, StringComparison.Ordinal);
        Assert.True(TestComposer.Tokens.TryReadBounce(Token(row.EnvelopeSender), out var refused));
        Assert.Equal(41, refused);
        using var message = Parse(row);
        Assert.Equal("auto-generated", message.Headers["Auto-Submitted"]);
        Assert.Null(message.InReplyTo);
        Assert.DoesNotContain(
            message.Headers,
            h => h.Field.StartsWith("List-", StringComparison.OrdinalIgnoreCase)
        );
        var reply = Token(message.ReplyTo.Mailboxes.Single().Address);
        Assert.True(
            TestComposer.Tokens.TryReadConfirm(reply, Now + Duration.FromHours(71), out var who)
        );
        Assert.Equal(41, who);
        Assert.False(
            TestComposer.Tokens.TryReadConfirm(reply, Now + Duration.FromHours(74), out _)
        );
        Assert.Contains(
            "https://watch.example.org/join/v2.",
            message.TextBody!,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "you are not on the list",
            message.TextBody!.ReplaceLineEndings(" "),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "Never write to this address again:\nhttps://watch.example.org/u/v1.",
            message.TextBody!,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Without_a_public_page_the_links_begin_an_answer()
    {
        var sender = new SenderOptions { FromAddress = "lawn@example.org" };
        var composer = new MessageComposer(sender, TestComposer.Tokens, Inbox);
        var parts = composer.Render(Samples.ConfirmationNotice(), 41);
        Assert.Matches("\nmailto:lawn\\+c[a-z2-7]+@example.org\\?subject=yes\n", parts.Text);
        parts = composer.Render(Samples.MowedReceipt(), 41);
        Assert.Matches("\nmailto:lawn\\+r[a-z2-7]+@example.org\\?subject=undo\n", parts.Text);
        Assert.DoesNotContain("page", parts.Text, StringComparison.Ordinal);
        // Without a mailbox either there is nothing to press.
        parts = new MessageComposer(sender, TestComposer.Tokens).Render(Samples.MowedReceipt(), 0);
        Assert.DoesNotContain("mailto:lawn+", parts.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("Stop", parts.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("preview", parts.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void List_mail_is_answered_left_and_returned_to_the_mailbox()
    {
        var row = Composer.Compose(
            Samples.Dew(),
            Samples.Reader,
            "2026-11-20#12",
            Samples.At(6),
            Samples.At(9)
        );
        Assert.StartsWith("bounces+b", row.EnvelopeSender, StringComparison.Ordinal);
        Assert.True(TestComposer.Tokens.TryReadBounce(Token(row.EnvelopeSender), out var who));
        Assert.Equal(Samples.Reader.Id, who);
        Assert.Null(AddressRule.Check(row.EnvelopeSender).Problem);
        using var message = Parse(row);
        var reply = message.ReplyTo.Mailboxes.Single().Address;
        Assert.True(TestComposer.Tokens.TryReadReply(Token(reply), out var lawn, out _));
        Assert.Equal(Samples.Dew().Lawn.Id, lawn);
        var leave = Between(message.Headers["List-Unsubscribe"]!, "<mailto:lawn+", "@");
        Assert.True(TestComposer.Tokens.TryReadLeave(leave, out who));
        Assert.Equal(Samples.Reader.Id, who);
        Assert.EndsWith("@example.org?subject=unsubscribe>", message.Headers["List-Unsubscribe"]);
        // Without a mailbox all stays as it was.
        var plain = new MessageComposer(Samples.Sender, TestComposer.Tokens, new InboxOptions());
        Assert.Equal(
            TestComposer.Make().Compose(Samples.Dew(), Samples.Reader, "k", Now, Now).Content,
            plain.Compose(Samples.Dew(), Samples.Reader, "k", Now, Now).Content
        );
    }

    [Theory]
    [InlineData("not-an-address")]
    [InlineData("a@b.example\r\nBcc: c@d.example")]
    [InlineData("Pat <pat@example.net>")]
    [InlineData("pat@EXAMPLE.net")]
    [InlineData("")]
    public void A_recipient_that_is_no_bare_address_is_refused(string recipient)
    {
        var error = Assert.Throws<ArgumentException>(() =>
            Composer.Compose(Samples.MowedReceipt(), 41, recipient, "k", Now, Now)
        );
        Assert.Contains("AddressRule", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void List_mail_is_no_notice() =>
        Assert.Contains(
            "write a content and a viewer",
            Assert
                .Throws<ArgumentException>(() =>
                    Compose(Samples.MowedReceipt() with { Kind = MessageKind.Morning })
                )
                .Message,
            StringComparison.Ordinal
        );

    [Fact]
    public void The_same_notice_gives_the_same_bytes() =>
        Assert.Equal(
            Compose(Samples.MowedReceipt()).Content,
            Compose(Samples.MowedReceipt()).Content
        );

    [Fact]
    public void No_text_from_anywhere_becomes_a_header_of_a_notice()
    {
        var piece = Gen.OneOf(
            Gen.Int[0, MessageHeadersTests.Nasty.Length - 1]
                .Select(n => MessageHeadersTests.Nasty[n]),
            Gen.String[0, 8]
        );
        var text = piece.Array[0, 6].Select(string.Concat);
        string[] expected =
        [
            "Auto-Submitted",
            "Content-Type",
            "Date",
            "From",
            "MIME-Version",
            "Message-Id",
            "Precedence",
            "Reply-To",
            "Subject",
            "To",
            "X-Auto-Response-Suppress",
        ];
        Gen.Select(text, text, text, text)
            .Sample(
                (subject, said, answered, key) =>
                {
                    var notice = Samples.MowedReceipt() with
                    {
                        Subject = Phrase.Of($"Noted: {subject}"),
                        Paragraphs = [Phrase.Of($"{said}")],
                        Links = [new(Phrase.Of($"{said}"), LinkPurpose.Undo, 1)],
                        InReplyTo = answered,
                    };
                    var row = Compose(notice, key);
                    var fields = MessageHeadersTests.Fields(row.Content);
                    Assert.Equal(
                        expected,
                        fields
                            .Where(f => f is not ("In-Reply-To" or "References"))
                            .Order(StringComparer.Ordinal)
                    );
                    Assert.Equal("pat+lawn@example.net", row.Recipient);
                    Assert.Equal("", row.EnvelopeSender);
                    Assert.Matches("^[0-9a-f]{32}@watch.example.org$", row.MessageId);
                },
                iter: 10_000
            );
    }

    [Fact]
    public void No_key_gets_out_of_the_return_path() =>
        Gen.String.Sample(
            key =>
                Assert.Matches(
                    "^bounces\\+[a-z2-7]{41}@example.org$",
                    Compose(Samples.ConfirmationNotice(), key).EnvelopeSender
                ),
            iter: 300
        );

    private static OutboxMessage Compose(Notice notice, string key = "k") =>
        Composer.Compose(notice, 41, "pat+lawn@example.net", key, Now, Now + Duration.FromHours(1));

    private static MimeMessage Parse(OutboxMessage row)
    {
        using var stream = new MemoryStream(row.Content);
        return MimeMessage.Load(stream);
    }

    private static string Token(string address) => address.Split('+', '@')[1];

    private static string Between(string text, string before, string after)
    {
        var start = text.IndexOf(before, StringComparison.Ordinal) + before.Length;
        return text[start..text.IndexOf(after, start, StringComparison.Ordinal)];
    }
}
