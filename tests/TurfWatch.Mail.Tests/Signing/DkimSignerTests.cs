using System.Text;
using CsCheck;
using MimeKit;
using TurfWatch.Mail.Signing;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests.Signing;

/// <summary>
/// Signatures over the bytes that a relay really received, judged by MimeKit's verifier (RFC 6376). dkimpy 1.1
/// (Debian 12) was asked by hand as well.
/// </summary>
public sealed class DkimSignerTests : IDisposable
{
    private static readonly string[] Pieces =
    [
        " ",
        "\t",
        "\r\n",
        ".",
        "a",
        "word",
        "\r\n\r\n",
        "=20",
    ];

    private readonly DkimSigner _signer = new(TestKey.Options);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => _signer.Dispose();

    [Theory]
    [MemberData(nameof(Samples.Names), MemberType = typeof(Samples))]
    public async Task The_bytes_that_a_relay_received_verify(string name)
    {
        var row = TestComposer
            .Make()
            .Compose(Samples.All[name], Samples.Reader, "k", Samples.At(6), Samples.At(9));
        var taken = await SendAsync(row.Content);

        Assert.True(TestKey.Verifies(taken));
        Assert.Equal(row.Content, taken[^row.Content.Length..]); // the signature stands in front, nothing else changed
        Assert.All(
            Encoding.ASCII.GetString(taken[..^row.Content.Length]).Split("\r\n"),
            line => Assert.InRange(line.Length, 0, 78) // RFC 5322, 2.1.1
        );
    }

    [Fact]
    public async Task The_bytes_that_the_test_server_of_Postfix_wrote_down_verify()
    {
        await using var sink = await SmtpSink.StartAsync(Ct);
        await using var transport = new SmtpTransport(
            SmtpRows.Options(sink.Port),
            TimeProvider.System,
            _signer
        );
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(SmtpRows.Row(), Ct));

        // It puts fields of its own in front and ends lines as Unix does.
        var written = Assert.Single(sink.Messages());
        Assert.Contains("DKIM-Signature: v=1; a=rsa-sha256; c=relaxed/relaxed", written);
        Assert.True(TestKey.Verifies(Encoding.ASCII.GetBytes(written)));
    }

    [Theory]
    [InlineData("plain", "Hello.\r\n")]
    [InlineData("lawn: mow 🌱 now, naïve", "Hello.\r\n")]
    [InlineData("long lines", "LONG")]
    [InlineData("white space at the ends", "one  \t \r\n  two\t\r\n\t\r\nthree \r\n")]
    [InlineData("lines of dots", ".\r\n..\r\n.x\r\n. \r\n")]
    [InlineData("empty", "")]
    [InlineData("nothing but empty lines", "\r\n \r\n\r\n")]
    [InlineData("no end of line", "the end")]
    [InlineData("empty lines at the end", "the end\r\n\r\n \r\n\r\n")]
    public async Task Awkward_messages_verify(string subject, string body)
    {
        using var mime = new MimeMessage
        {
            Subject = subject,
            Body = new TextPart("plain")
            {
                Text = body == "LONG" ? new string('x', 3000) + " y\r\n" : body,
            },
        };
        mime.From.Add(new MailboxAddress("Läwn 🌱", "lawn@watch.example.org"));
        mime.To.Add(new MailboxAddress("", "pat@example.net"));
        mime.Prepare(EncodingConstraint.SevenBit);
        using var bytes = new MemoryStream();
        await mime.WriteToAsync(bytes, Ct); // with line ends as Unix has them, which the transport puts right

        Assert.True(TestKey.Verifies(await SendAsync(bytes.ToArray())));
        // And as it stands, without MIME's encoding of what is awkward.
        var raw = await SendAsync(
            Encoding.ASCII.GetBytes(
                "From: lawn@watch.example.org\r\nSubject:   a \t b\r\n  c \r\nX-Odd:y\r\n\r\n"
                    + body
            )
        );
        Assert.True(TestKey.Verifies(raw));
    }

    [Fact]
    public void Any_body_of_words_white_space_and_line_ends_verifies() =>
        Gen.Int[0, Pieces.Length - 1]
            .Select(i => Pieces[i])
            .Array[0, 60]
            .Sample(
                parts =>
                    TestKey.Verifies(
                        _signer.Sign(
                            WireForm.Of(
                                Encoding.ASCII.GetBytes(
                                    "From: a@watch.example.org\r\n\r\n" + string.Concat(parts)
                                )
                            )
                        )
                    ),
                iter: 200
            );

    [Fact]
    public async Task A_change_of_one_letter_in_any_signed_field_or_in_the_body_breaks_it()
    {
        var sent = await SendAsync(SmtpRows.Row().Content);
        using var mime = MimeMessage.Load(new MemoryStream(sent), Ct);
        var present = mime
            .Headers.Select(h => h.Field.ToLowerInvariant())
            .Append("content-type")
            .Where(DkimSigner.Fields.Contains)
            .Distinct()
            .ToList();
        Assert.Contains("list-unsubscribe", present);
        Assert.Contains("list-unsubscribe-post", present);
        Assert.Contains("from", present);
        Assert.Equal(14, present.Count); // all but the three that only answers and plain letters have

        foreach (var field in present)
        {
            Assert.False(TestKey.Verifies(Changed(sent, $"\r\n{field}:", 3)), field);
        }

        Assert.False(TestKey.Verifies(Changed(sent, "\r\n\r\n", 40)), "body");
        Assert.False(TestKey.Verifies(Changed(sent, "\tbh=", 5)), "bh");
        Assert.False(TestKey.Verifies(Changed(sent, "\tb=", 5)), "b");
    }

    [Theory]
    [InlineData("From: boss@watch.example.org")]
    [InlineData("Subject: another")]
    [InlineData("Reply-To: thief@example.com")]
    [InlineData("Content-Type: text/plain")]
    [InlineData("List-Unsubscribe: <https://example.com/>")]
    [InlineData("In-Reply-To: <x@example.com>")]
    public async Task A_signed_field_that_someone_adds_breaks_it_too(string field)
    {
        var sent = await SendAsync(SmtpRows.Row().Content);

        Assert.True(TestKey.Verifies([.. "Received: by relay\r\n"u8, .. sent]));
        Assert.False(TestKey.Verifies([.. Encoding.ASCII.GetBytes(field + "\r\n"), .. sent]));
    }

    [Fact]
    public async Task Every_try_carries_the_same_signature()
    {
        var row = SmtpRows.Row();
        Assert.Equal(await SendAsync(row.Content), await SendAsync(row.Content));
    }

    [Fact]
    public void Many_at_once_are_each_signed_right()
    {
        var rows = Enumerable
            .Range(0, 64)
            .Select(i => SmtpRows.Row($"2026-11-20#{i}").Content)
            .ToArray();
        var signed = rows.AsParallel().AsOrdered().Select(_signer.Sign).ToArray();
        Assert.All(signed, s => Assert.True(TestKey.Verifies(s)));
        Assert.Equal(signed, rows.Select(_signer.Sign));
    }

    private async Task<byte[]> SendAsync(byte[] content)
    {
        await using var server = FaultySmtp.Start();
        await using var transport = new SmtpTransport(
            SmtpRows.Options(server.Port),
            TimeProvider.System,
            _signer
        );
        var outcome = await transport.SendAsync(SmtpRows.Row() with { Content = content }, Ct);
        Assert.IsType<SendOutcome.Accepted>(outcome);
        return Assert.Single(server.Taken).Content;
    }

    /// <summary>One letter or digit, some way after <paramref name="mark"/>, made another.</summary>
    private static byte[] Changed(byte[] message, string mark, int after)
    {
        var at = Encoding
            .ASCII.GetString(message)
            .IndexOf(mark, StringComparison.OrdinalIgnoreCase);
        Assert.True(at >= 0, mark);
        at += mark.Length + after;
        while (!char.IsAsciiLetterOrDigit((char)message[at]))
        {
            at++;
        }

        var changed = message.ToArray();
        changed[at] = changed[at] == 'x' ? (byte)'y' : (byte)'x';
        return changed;
    }
}
