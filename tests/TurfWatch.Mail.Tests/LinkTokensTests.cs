using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

public sealed class LinkTokensTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("link-keys-");

    private static readonly Instant Made = Instant.FromUtc(2026, 11, 25, 12, 0);

    private string KeyFile => Path.Combine(_folder.FullName, LinkTokens.FileName);

    [Fact]
    public void A_token_is_read_back_for_its_purpose_only()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        foreach (var id in new[] { 0, 1, 41, long.MaxValue })
        {
            var token = tokens.Issue("unsubscribe", id);
            Assert.True(tokens.TryRead("unsubscribe", token, out var read));
            Assert.Equal(id, read);
            Assert.False(tokens.TryRead("manage", token, out _));
            Assert.Matches("^[A-Za-z0-9._-]+$", token);
        }
    }

    [Fact]
    public void No_changed_letter_is_accepted()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var token = tokens.Issue("unsubscribe", 41);
        for (var i = 0; i < token.Length; i++)
        {
            foreach (var letter in "ABab01-_.=")
            {
                var forged = token[..i] + letter + token[(i + 1)..];
                Assert.Equal(
                    string.Equals(forged, token, StringComparison.Ordinal),
                    tokens.TryRead("unsubscribe", forged, out _)
                );
            }
        }

        foreach (
            var junk in new[]
            {
                "",
                ".",
                "v1",
                "v1...",
                "....",
                token + "=",
                token + ".",
                new string('a', 100_000),
            }
        )
        {
            Assert.False(tokens.TryRead("unsubscribe", junk, out _));
        }
    }

    [Fact]
    public void Tokens_survive_a_restart_and_a_new_key_on_top()
    {
        var before = LinkTokens.Open(_folder.FullName);
        var token = before.Issue("unsubscribe", 41);
        Assert.True(LinkTokens.Open(_folder.FullName).TryRead("unsubscribe", token, out _));
        using var elsewhere = new LinkTokensTests();
        LinkTokens.Open(elsewhere._folder.FullName);
        File.WriteAllText(KeyFile, File.ReadAllText(elsewhere.KeyFile) + File.ReadAllText(KeyFile));
        var after = LinkTokens.Open(_folder.FullName);
        Assert.True(after.TryRead("unsubscribe", token, out var id));
        Assert.Equal(41, id);
        Assert.NotEqual(token, after.Issue("unsubscribe", 41));
        // A process that began before takes the new key up.
        Assert.True(before.TryRead("unsubscribe", after.Issue("unsubscribe", 41), out _));
    }

    [Fact]
    public void The_key_file_is_ours_alone()
    {
        LinkTokens.Open(_folder.FullName);
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(KeyFile));
        Assert.Single(_folder.GetFiles());
    }

    [Theory]
    [InlineData("")]
    [InlineData("garbage")]
    [InlineData("abc short")]
    public void A_damaged_key_file_is_said_and_not_replaced(string content)
    {
        File.WriteAllText(KeyFile, content);
        var error = Assert.Throws<InvalidDataException>(() => LinkTokens.Open(_folder.FullName));
        Assert.Contains("Restore it from a backup", error.Message, StringComparison.Ordinal);
        Assert.Equal(content, File.ReadAllText(KeyFile));
    }

    [Fact]
    public void A_link_is_good_for_its_own_purpose_alone_and_until_it_expires()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var noon = Instant.FromUtc(2026, 11, 25, 12, 0);
        foreach (var purpose in Enum.GetValues<LinkPurpose>())
        {
            var token = tokens.Issue(purpose, 41, noon);
            Assert.True(tokens.TryRead(purpose, token, noon - Duration.FromSeconds(1), out var id));
            Assert.Equal(41, id);
            Assert.False(tokens.TryRead(purpose, token, noon, out id));
            Assert.Equal(0, id);
            Assert.True(
                tokens.TryRead(purpose, tokens.Issue(purpose, 41), Instant.MaxValue, out _)
            );
            Assert.Matches("^v2[A-Za-z0-9._-]+$", token);
            foreach (var other in Enum.GetValues<LinkPurpose>().Where(p => p != purpose))
            {
                Assert.False(tokens.TryRead(other, token, noon - Duration.FromHours(1), out _));
            }

            Assert.False(tokens.TryRead("unsubscribe", token, out _));
            Assert.False(tokens.TryRead(purpose, tokens.Issue("unsubscribe", 41), noon, out _));
        }
    }

    [Fact]
    public void No_changed_letter_of_a_link_is_accepted()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var now = Instant.FromUtc(2026, 11, 25, 12, 0);
        var token = tokens.Issue(LinkPurpose.Undo, 41, now + Duration.FromDays(1));
        for (var i = 0; i < token.Length; i++)
        {
            foreach (var letter in "ABab01-_.=\0é")
            {
                var forged = token[..i] + letter + token[(i + 1)..];
                Assert.Equal(
                    string.Equals(forged, token, StringComparison.Ordinal),
                    tokens.TryRead(LinkPurpose.Undo, forged, now, out _)
                );
            }
        }
    }

    [Fact]
    public void A_link_that_writes_something_down_holds_the_whole_line_and_serves_nothing_else()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var noon = Instant.FromUtc(2026, 11, 25, 12, 0);
        DeedOffer[] offers =
        [
            new(JournalKind.Mowed, new(2026, 11, 25), 6.35),
            new(JournalKind.Mowed, new(2028, 2, 29), null),
            new(JournalKind.Fed, new(2026, 11, 25), 2.44) { Grade = new(21, 0, 0.5) },
            new(JournalKind.Seeded, new(2026, 9, 1), 48.8) { Grass = GrassKind.FineFescue },
        ];
        foreach (var offer in offers)
        {
            var token = tokens.Issue(offer, 41, noon);
            Assert.InRange(token.Length, 1, 120);
            Assert.Equivalent(
                (offer, 41L),
                tokens.ReadOffer(token, noon - Duration.FromSeconds(1)),
                strict: true
            );
            Assert.Null(tokens.ReadOffer(token, noon));
            Assert.All(
                Enum.GetValues<LinkPurpose>(),
                p => Assert.False(tokens.TryRead(p, token, Instant.MinValue, out _))
            );
            for (var i = 0; i < token.Length; i++)
            {
                var forged = token[..i] + (token[i] == 'A' ? 'B' : 'A') + token[(i + 1)..];
                Assert.Null(tokens.ReadOffer(forged, noon - Duration.FromHours(1)));
            }
        }

        Assert.Null(tokens.ReadOffer(tokens.Issue(LinkPurpose.WriteDown, 41), noon));
    }

    [Fact]
    public void Tokens_in_addresses_fit_survive_a_change_of_case_and_serve_one_purpose_each()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var now = Instant.FromUtc(2026, 11, 25, 12, 0);
        foreach (var id in new[] { 0, 1, 41, (1L << 40) - 1 })
        {
            var reply = tokens.ReplyTokenFor(id, Made);
            var confirm = tokens.ConfirmTokenFor(id, now + Duration.FromHours(72));
            var leave = tokens.LeaveTokenFor(id);
            var bounce = tokens.BounceToken(id, MessageKind.Morning, "2026-11-25#12");
            foreach (var token in new[] { reply, confirm, leave, bounce })
            {
                Assert.InRange(token.Length, 20, LinkTokens.LongestAddressToken);
                Assert.Matches("^[a-z2-7]+$", token);
                foreach (var spelt in new[] { token, token.ToUpperInvariant() })
                {
                    Assert.Equal(token == reply, tokens.TryReadReply(spelt, out var lawn, out _));
                    Assert.Equal(token == confirm, tokens.TryReadConfirm(spelt, now, out var who));
                    Assert.Equal(token == leave, tokens.TryReadLeave(spelt, out var leaver));
                    Assert.Equal(token == bounce, tokens.TryReadBounce(spelt, out var refused));
                    Assert.Equal(id, lawn + who + leaver + refused);
                }

                foreach (var purpose in "rcub")
                {
                    // The letter in front is no more than a hint: the code is bound to it.
                    var forged = purpose + token[1..];
                    Assert.Equal(
                        forged == token,
                        tokens.TryReadReply(forged, out _, out _)
                            || tokens.TryReadConfirm(forged, now, out _)
                            || tokens.TryReadLeave(forged, out _)
                            || tokens.TryReadBounce(forged, out _)
                    );
                }
            }
        }

        Assert.Throws<ArgumentOutOfRangeException>(() => tokens.ReplyTokenFor(1L << 40, Made));
        Assert.Throws<ArgumentOutOfRangeException>(() => tokens.ReplyTokenFor(-1, Made));
    }

    [Fact]
    public void No_changed_letter_of_an_address_is_accepted()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var token = tokens.ReplyTokenFor(41, Made);
        for (var i = 0; i < token.Length; i++)
        {
            foreach (var letter in "abr27-_.=8\0é")
            {
                var forged = token[..i] + letter + token[(i + 1)..];
                Assert.Equal(
                    string.Equals(forged, token, StringComparison.Ordinal),
                    tokens.TryReadReply(forged, out _, out _)
                );
            }
        }

        foreach (var junk in new[] { "", "r", token + "a", token[..^1], new string('r', 100_000) })
        {
            Assert.False(tokens.TryReadReply(junk, out _, out _));
        }
    }

    [Fact]
    public void An_address_for_answers_says_on_what_day_it_was_made()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        Assert.True(tokens.TryReadReply(tokens.ReplyTokenFor(41, Made), out var id, out var made));
        Assert.Equal((41, Instant.FromUtc(2026, 11, 25, 0, 0)), (id, made));
        // As far as the two bytes for the day reach: 65,535 days after 2020.
        var late = Instant.FromUtc(2199, 6, 6, 0, 0);
        Assert.True(tokens.TryReadReply(tokens.ReplyTokenFor(41, late), out _, out made));
        Assert.Equal(late, made);
    }

    [Fact]
    public void A_request_to_confirm_expires_within_the_hour()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var until = Instant.FromUtc(2026, 11, 25, 12, 20);
        var token = tokens.ConfirmTokenFor(41, until);
        Assert.True(tokens.TryReadConfirm(token, until - Duration.FromSeconds(1), out var id));
        Assert.Equal(41, id);
        Assert.False(tokens.TryReadConfirm(token, until + Duration.FromHours(1), out id));
        Assert.Equal(0, id);
    }

    [Fact]
    public void Each_message_has_a_return_path_of_its_own()
    {
        var tokens = LinkTokens.Open(_folder.FullName);
        var paths = Enumerable
            .Range(1, 28)
            .Select(d => tokens.BounceToken(41, MessageKind.Morning, $"2026-02-{d:00}#1"))
            .Append(tokens.BounceToken(41, MessageKind.Digest, "2026-02-01#1"))
            .Append(tokens.BounceToken(42, MessageKind.Morning, "2026-02-01#1"));
        Assert.Equal(30, paths.Distinct(StringComparer.Ordinal).Count());
    }

    [Fact]
    public void Everything_survives_a_new_key_on_top_and_nothing_a_lost_one()
    {
        var before = LinkTokens.Open(_folder.FullName);
        var now = Instant.FromUtc(2026, 11, 25, 12, 0);
        var link = before.Issue(LinkPurpose.LawnPage, 7, now + Duration.FromDays(7));
        var reply = before.ReplyTokenFor(7, Made);
        var bounce = before.BounceToken(7, MessageKind.Alert, "k");
        var hash = before.AddressHash("Pat@Example.org");
        var old = File.ReadAllText(KeyFile);
        using var elsewhere = new LinkTokensTests();
        LinkTokens.Open(elsewhere._folder.FullName);
        var young = File.ReadAllText(elsewhere.KeyFile);

        File.WriteAllText(KeyFile, young + old);
        var both = LinkTokens.Open(_folder.FullName);
        Assert.True(both.TryRead(LinkPurpose.LawnPage, link, now, out _));
        Assert.True(both.TryReadReply(reply, out _, out _));
        Assert.True(both.TryReadBounce(bounce, out _));
        Assert.Equal(hash, both.AddressHash("pat@example.ORG "));
        Assert.NotEqual(reply, both.ReplyTokenFor(7, Made));

        File.WriteAllText(KeyFile, young);
        var lost = LinkTokens.Open(_folder.FullName);
        Assert.False(lost.TryRead(LinkPurpose.LawnPage, link, now, out _));
        Assert.False(lost.TryReadReply(reply, out _, out _));
        Assert.False(lost.TryReadBounce(bounce, out _));
        Assert.NotEqual(hash, lost.AddressHash("pat@example.org"));
    }

    [Theory]
    // RFC 4648 10, in lower case and without padding.
    [InlineData("", "")]
    [InlineData("f", "my")]
    [InlineData("fo", "mzxq")]
    [InlineData("foo", "mzxw6")]
    [InlineData("foob", "mzxw6yq")]
    [InlineData("fooba", "mzxw6ytb")]
    [InlineData("foobar", "mzxw6ytboi")]
    public void Base32_is_that_of_the_standard(string text, string encoded)
    {
        var bytes = System.Text.Encoding.ASCII.GetBytes(text);
        Assert.Equal(encoded, Base32.Encode(bytes));
        Assert.True(Base32.TryDecode(encoded, bytes.Length, out var back));
        Assert.Equal(bytes, back);
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
