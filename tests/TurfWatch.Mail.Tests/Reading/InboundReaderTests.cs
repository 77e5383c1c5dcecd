using System.Text;
using CsCheck;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>
/// What is made of mail from outside. The rules are those of RFC 3834 (robots), RFC 3464 and 3463 (delivery reports),
/// RFC 5322 and 2045 (form); the shapes of programs and servers are common practice, no source.
/// </summary>
public sealed class InboundReaderTests
{
    [Theory]
    [MemberData(nameof(InboundCorpus.Names), MemberType = typeof(InboundCorpus))]
    public void Each_message_of_the_corpus_is_what_it_is(string name) =>
        Assert.Equal(
            InboundCorpus.Expected[name],
            InboundCorpus.Tell(InboundCorpus.Read(InboundCorpus.Bytes(name)))
        );

    [Fact]
    public void Every_file_has_its_outcome_and_every_outcome_its_file() =>
        Assert.Equal(
            InboundCorpus.Expected.Keys.Order(StringComparer.Ordinal),
            InboundCorpus.Files.Order(StringComparer.Ordinal)
        );

    [Fact]
    public void Ten_thousand_damaged_messages_are_read_without_a_throw_and_within_bounds()
    {
        var originals = InboundCorpus
            .Files.Order(StringComparer.Ordinal)
            .Select(InboundCorpus.Bytes)
            .ToArray();
        var edit = Gen.Select(Gen.Double[0, 1], Gen.Int[0, 6], Gen.Byte, Gen.Int[1, 200]);
        Gen.Select(
                Gen.Int[0, originals.Length - 1],
                Gen.Int[0, originals.Length - 1],
                edit.Array[1, 12]
            )
            .Sample(
                (first, second, edits) =>
                    Bounded(
                        InboundCorpus.Read(Mutated(originals[first], originals[second], edits))
                    ),
                iter: 10_000
            );
    }

    [Fact]
    public void Monsters_are_read_in_bounded_time_and_size()
    {
        const string Head =
            "From: pat@example.net\r\nTo: lawn@example.org\r\nMIME-Version: 1.0\r\n";
        var many = new StringBuilder(Head + "Content-Type: multipart/mixed; boundary=m\r\n\r\n");
        for (var i = 0; i < 10_000; i++)
        {
            many.Append("--m\r\nContent-Type: text/html\r\n\r\n<p>x\r\n");
        }

        var deep = new StringBuilder(Head);
        for (var i = 0; i < 2_000; i++)
        {
            deep.Append($"Content-Type: multipart/mixed; boundary=b{i}\r\n\r\n--b{i}\r\n");
        }

        deep.Append("Content-Type: text/plain\r\n\r\nstop\r\n");
        string[] monsters =
        [
            many.ToString(),
            deep.ToString(),
            Head + $"Subject: {new string('s', 2_000_000)}\r\n\r\nmowed\r\n",
            Head + $"Subject: x\r\n\r\n{new string('m', 20_000_000)}",
            Head
                + $"Content-Type: text/html\r\n\r\n{string.Concat(Enumerable.Repeat("<div>", 200_000))}",
            Head
                + $"Content-Type: text/html\r\n\r\n<p {string.Concat(Enumerable.Repeat("a=b ", 200_000))}>mowed",
            Head
                + $"Cc: {string.Join(',', Enumerable.Repeat("a@example.com", 100_000))}\r\n\r\nmowed\r\n",
            Head + string.Concat(Enumerable.Repeat("X-A: b\r\n", 100_000)) + "\r\nmowed\r\n",
            Head + $"\r\nOn {string.Concat(Enumerable.Repeat("on 1 wrote ", 20_000))}\r\n",
            Head
                + "Content-Type: multipart/report; report-type=delivery-status; boundary=m\r\n\r\n--m\r\nContent-Type: message/delivery-status\r\n\r\n"
                + string.Concat(
                    Enumerable.Repeat("Action: failed\r\nStatus: 4.0.0\r\n\r\n", 20_000)
                ),
        ];
        foreach (var monster in monsters)
        {
            var watch = System.Diagnostics.Stopwatch.StartNew();
            Bounded(InboundCorpus.Read(Encoding.ASCII.GetBytes(monster)));
            Assert.True(watch.Elapsed < TimeSpan.FromSeconds(60), monster[..200]);
        }
    }

    [Fact]
    public void Without_a_delivery_address_of_its_own_refused_mail_returns_to_the_one_address()
    {
        var inbox = new InboxOptions { Host = "imap.example.org", Address = "lawn@example.org" };
        Assert.Equal("lawn+babc@example.org", inbox.ReturnAddress("babc"));
        Assert.Equal("babc", AddressTokens.Token("lawn+babc@example.org", inbox));
        inbox.Delimiter = "-";
        Assert.Equal("babc", AddressTokens.Token("lawn-babc@example.org", inbox));
        Assert.Null(AddressTokens.Token("lawn+babc@example.org", inbox));
        Assert.Null(AddressTokens.Token("lawn-@example.org", inbox));
        Assert.Null(AddressTokens.Token("lawn-a.b@example.org", inbox));
        Assert.Null(AddressTokens.Token("", new InboxOptions()));
    }

    private static void Bounded(InboundMail mail)
    {
        Assert.True(mail.Lines.Length <= ReplyText.MostLines);
        Assert.All(
            mail.Lines,
            l =>
                Assert.True(
                    l.Length is > 0 and <= ReplyText.LongestLine && !l.Any(char.IsControl),
                    l
                )
        );
        Assert.True(mail.Subject.Length <= 1000 && !mail.Subject.Any(char.IsControl), mail.Subject);
        Assert.True(mail.MessageId.Length <= 250);
        Assert.True(mail.From.Length == 0 || AddressRule.Check(mail.From).Normalised == mail.From);
        Assert.True(mail.ReplyToken is null or { Length: <= LinkTokens.LongestAddressToken });
        Assert.True(mail.Bounce is null or { Status.Length: <= 9 });
        Assert.Equal(mail.Kind == InboundKind.Bounce, mail.Bounce is not null);
        Assert.Equal(InboundCorpus.Received, mail.ReceivedAt);
    }

    private static byte[] Mutated(
        byte[] bytes,
        byte[] other,
        (double Where, int How, byte What, int Much)[] edits
    )
    {
        var list = new List<byte>(bytes);
        foreach (var (where, how, what, much) in edits)
        {
            var at = (int)(where * list.Count);
            var length = Math.Min(much, list.Count - at);
            switch (how)
            {
                case 0 when at < list.Count:
                    list[at] = what;
                    break;
                case 1:
                    list.Insert(at, what);
                    break;
                case 2:
                    list.RemoveRange(at, length);
                    break;
                case 3:
                    list.InsertRange(at, list.GetRange(at, length));
                    break;
                case 4:
                    list.InsertRange(at, other.AsSpan(Math.Min(at, other.Length)..));
                    break;
                case 5 when at < list.Count:
                    list.RemoveRange(at, list.Count - at);
                    break;
                default:
                    list.InsertRange(at, "\r\n\r\n"u8.ToArray());
                    break;
            }
        }

        return [.. list];
    }
}
