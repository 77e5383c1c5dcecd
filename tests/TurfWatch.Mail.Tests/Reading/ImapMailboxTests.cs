using System.Diagnostics;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.Extensions.Time.Testing;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>The mailbox against Dovecot: each message once, moved whole, whatever happens to it.</summary>
[Collection(AloneInTheProcess.Name)]
public sealed class ImapMailboxTests : ImapRig
{
    [Fact]
    public async Task The_whole_corpus_is_read_once_and_moved_and_nothing_is_lost()
    {
        foreach (var name in InboundCorpus.Files)
        {
            // An empty file is no message to Dovecot.
            var bytes = InboundCorpus.Bytes(name);
            _server.Deliver(User, bytes.Length > 0 ? bytes : "\n"u8.ToArray());
        }

        await using var mailbox = Open();
        var positions = new HashSet<MailboxPosition>();
        var kinds = new List<string>();
        await foreach (var (position, mail) in mailbox.NewAsync(Cancel))
        {
            Assert.True(positions.Add(position));
            kinds.Add($"{mail.Kind} {mail.From}");
            await mailbox.SettleAsync(position, mail.Kind != InboundKind.Malformed, Cancel);
        }

        Assert.Equal(
            InboundCorpus
                .Files.Select(f => InboundCorpus.Read(InboundCorpus.Bytes(f)))
                .Select(m => $"{m.Kind} {m.From}")
                .Order(StringComparer.Ordinal),
            kinds.Order(StringComparer.Ordinal)
        );
        Assert.Empty(await ReadAsync(mailbox));
        Assert.Empty(_server.Messages(User));
        var malformed = kinds.Count(k => k.StartsWith("Malformed", StringComparison.Ordinal));
        Assert.Equal(malformed, _server.Messages(User, "TurfWatch-NotUnderstood").Count);
        Assert.Equal(kinds.Count - malformed, _server.Messages(User, "TurfWatch-Done").Count);
    }

    [Fact]
    public async Task What_is_not_settled_is_handed_out_again_under_the_same_number()
    {
        _server.Deliver(User, Text("mowed"));
        await using (var mailbox = Open())
        {
            var first = Assert.Single(await ReadAsync(mailbox));
            Assert.Equal(first.Position, Assert.Single(await ReadAsync(mailbox)).Position);
            Assert.Equal(["mowed"], first.Mail.Lines);
        }

        await using var again = Open();
        Assert.Equal(["mowed"], Assert.Single(await ReadAsync(again)).Mail.Lines);
    }

    [Fact]
    public async Task Mail_numbered_anew_is_handed_out_anew_and_old_numbers_move_nothing()
    {
        _server.Deliver(User, Text("mowed one"));
        _server.Deliver(User, Text("mowed two"));
        await using var mailbox = Open();
        var before = await ReadAsync(mailbox);
        Assert.Equal(2, before.Count);
        await _server.StopAsync();
        _server.ForgetNumbers(User);
        await Task.Delay(1100, Cancel); // Dovecot numbers by the second.
        await _server.StartAgainAsync(Cancel);
        await Assert.ThrowsAsync<MailboxException>(() =>
            mailbox.SettleAsync(before[0].Position, understood: true, Cancel)
        );
        var after = await EventuallyAsync(mailbox);
        Assert.Equal(2, after.Count);
        Assert.All(after, f => Assert.NotEqual(before[0].Position.Validity, f.Position.Validity));
        await mailbox.SettleAsync(before[0].Position, understood: true, Cancel);
        await mailbox.SettleAsync(before[1].Position, understood: true, Cancel);
        Assert.Equal(2, _server.Messages(User).Count);
        await mailbox.SettleAsync(after[1].Position, understood: false, Cancel);
        Assert.Contains(
            "mowed one",
            Assert.Single(_server.Messages(User)),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "mowed two",
            Assert.Single(_server.Messages(User, "TurfWatch-NotUnderstood")),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Of_a_huge_message_only_the_first_part_is_fetched()
    {
        var picture = string.Concat(Enumerable.Repeat(new string('A', 76) + "\n", 300_000));
        _server.Deliver(
            User,
            Text("mowed, see picture")
                .Replace(
                    "Content-Type: text/plain\n",
                    "Content-Type: multipart/mixed; boundary=m\n",
                    StringComparison.Ordinal
                )
                .Replace(
                    "\n\nmowed",
                    "\n\n--m\nContent-Type: text/plain\n\nmowed",
                    StringComparison.Ordinal
                )
                + "--m\nContent-Type: image/jpeg\nContent-Transfer-Encoding: base64\n\n"
                + picture
                + "--m--\n"
        );
        await using var mailbox = Open();
        var before = GC.GetTotalAllocatedBytes(precise: true);
        var found = Assert.Single(await ReadAsync(mailbox));
        var used = GC.GetTotalAllocatedBytes(precise: true) - before;
        Assert.Equal(["mowed, see picture"], found.Mail.Lines);
        Assert.True(used < 10_000_000, $"{used} bytes for a message of 23 MB");
        await mailbox.SettleAsync(found.Position, understood: true, Cancel);
        // It was moved whole.
        Assert.Contains(
            "--m--",
            Assert.Single(_server.Messages(User, "TurfWatch-Done")),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_message_that_someone_takes_away_stops_nothing()
    {
        _server.Deliver(User, Text("one"));
        _server.Deliver(User, Text("two"));
        _server.Deliver(User, Text("three"));
        await using var mailbox = Open();
        var lines = new List<string>();
        await foreach (var (position, mail) in mailbox.NewAsync(Cancel))
        {
            lines.AddRange(mail.Lines);
            if (lines.Count == 1)
            {
                foreach (var file in Directory.GetFiles(Path.Combine(_server.MailOf(User), "cur")))
                {
                    if (File.ReadAllText(file).Contains("\ntwo", StringComparison.Ordinal))
                    {
                        File.Delete(file);
                    }
                }
            }

            await mailbox.SettleAsync(position, understood: true, Cancel);
        }

        Assert.Equal(["one", "three"], lines);
        Assert.Empty(await ReadAsync(mailbox));
    }
}
