using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>Changing the keys of a service that runs (fault L2).</summary>
public sealed class LinkKeyFileTests : IDisposable
{
    private static readonly Instant Noon = Instant.FromUtc(2026, 11, 25, 12, 0);

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("key-file-");

    private string Folder => _folder.FullName;

    private string KeyFile => Path.Combine(Folder, LinkTokens.FileName);

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public void A_service_that_runs_signs_with_a_new_key_and_reads_links_of_both()
    {
        var running = LinkTokens.Open(Folder);
        var oldLink = running.Issue("unsubscribe", 41);
        var oldAnswer = running.ReplyTokenFor(7, Noon);

        var id = LinkKeyFile.Rotate(Folder, Noon);

        var newLink = running.Issue("unsubscribe", 41);
        Assert.StartsWith($"v1.{id}.", newLink, StringComparison.Ordinal);
        Assert.True(running.TryRead("unsubscribe", newLink, out _));
        Assert.True(running.TryRead("unsubscribe", oldLink, out var who));
        Assert.Equal(41, who);
        Assert.True(running.TryReadReply(oldAnswer, out var lawn, out _));
        Assert.Equal(7, lawn);
        Assert.True(running.TryReadReply(running.ReplyTokenFor(8, Noon), out _, out _));
        // Another process, started afterwards, agrees.
        Assert.True(LinkTokens.Open(Folder).TryRead("unsubscribe", oldLink, out _));
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(KeyFile));
        Assert.Single(_folder.GetFiles());
    }

    [Fact]
    public void A_retired_key_opens_nothing_more_and_what_is_named_by_the_oldest_stays()
    {
        var running = LinkTokens.Open(Folder);
        var first = LinkKeyFile.List(Folder)[0].Id;
        var (hash, oldest) = (
            running.AddressHash("a@example.org"),
            running.Issue("unsubscribe", 1)
        );
        var second = LinkKeyFile.Rotate(Folder, Noon);
        var (middle, answer) = (running.Issue("unsubscribe", 2), running.ReplyTokenFor(2, Noon));
        LinkKeyFile.Rotate(Folder, Noon + Duration.FromDays(1));

        LinkKeyFile.Retire(Folder, second);
        Assert.False(running.TryRead("unsubscribe", middle, out _));
        Assert.False(running.TryReadReply(answer, out _, out _));
        Assert.True(running.TryRead("unsubscribe", oldest, out _));

        LinkKeyFile.Retire(Folder, first);
        Assert.False(running.TryRead("unsubscribe", oldest, out _));
        Assert.Equal(hash, running.AddressHash("a@example.org"));
        Assert.Equal(hash, LinkTokens.Open(Folder).AddressHash("a@example.org"));
        Assert.True(
            running.TryRead("unsubscribe", running.Issue("unsubscribe", 3), out var who) && who == 3
        );

        var keys = LinkKeyFile.List(Folder);
        Assert.Equal([LinkKeyUse.Signs, LinkKeyUse.NamesOnly], keys.Select(k => k.Use));
        Assert.DoesNotContain(second, File.ReadAllText(KeyFile), StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => LinkKeyFile.Retire(Folder, first));
        Assert.Throws<ArgumentException>(() => LinkKeyFile.Retire(Folder, keys[0].Id));
        Assert.Throws<ArgumentException>(() => LinkKeyFile.Retire(Folder, "nosuch"));
    }

    [Fact]
    public void A_key_is_needed_for_the_promised_time_from_when_the_next_took_over()
    {
        LinkTokens.Open(Folder);
        LinkKeyFile.Rotate(Folder, Noon);
        LinkKeyFile.Rotate(Folder, Noon + Duration.FromDays(9));

        var keys = LinkKeyFile.List(Folder);
        Assert.Equal([null, Noon + Duration.FromDays(9), Noon], keys.Select(k => k.SignedUntil));
        Assert.Equal(Noon + LinkKeyFile.Promise, keys[2].NeededUntil);
        // No link may be promised for longer than a key is kept for.
        foreach (
            var purpose in new[]
            {
                LinkPurpose.Confirm,
                LinkPurpose.LawnPage,
                LinkPurpose.Undo,
                LinkPurpose.Rejoin,
            }
        )
        {
            Assert.True(LinkPaths.Lifetime(purpose) <= LinkKeyFile.Promise, purpose.ToString());
        }
    }

    [Fact]
    public void A_key_put_in_by_hand_has_no_known_time()
    {
        LinkTokens.Open(Folder);
        using var other = new LinkKeyFileTests();
        LinkTokens.Open(other.Folder);
        File.WriteAllText(KeyFile, File.ReadAllText(other.KeyFile) + File.ReadAllText(KeyFile));

        Assert.Null(LinkKeyFile.List(Folder)[1].NeededUntil);
    }

    [Fact]
    public void A_file_that_is_damaged_under_a_running_service_changes_nothing_for_it()
    {
        var running = LinkTokens.Open(Folder);
        var link = running.Issue("unsubscribe", 41);
        foreach (var damage in new[] { "", "garbage\n", "abc def ghi names\n" })
        {
            File.WriteAllText(KeyFile, damage);
            Assert.True(running.TryRead("unsubscribe", link, out _));
            Assert.True(running.TryRead("unsubscribe", running.Issue("unsubscribe", 41), out _));
            Assert.Throws<InvalidDataException>(() => LinkKeyFile.Rotate(Folder, Noon));
            Assert.Equal(damage, File.ReadAllText(KeyFile));
        }

        File.Delete(KeyFile);
        Assert.True(running.TryRead("unsubscribe", link, out _));
        Assert.Throws<InvalidDataException>(() => LinkKeyFile.List(Folder));
    }

    [Fact]
    public void Two_programs_do_not_change_the_file_at_once()
    {
        LinkTokens.Open(Folder);
        var before = File.ReadAllText(KeyFile);
        File.WriteAllText(KeyFile + ".new", "half a li");
        var error = Assert.Throws<IOException>(() => LinkKeyFile.Rotate(Folder, Noon));
        Assert.Contains("delete that file", error.Message, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllText(KeyFile));
    }
}
