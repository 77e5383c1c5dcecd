namespace TurfWatch.Mail.Tests;

public sealed class LinkTokensTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("link-keys-");

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
        Assert.False(before.TryRead("unsubscribe", after.Issue("unsubscribe", 41), out _));
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

    public void Dispose() => _folder.Delete(recursive: true);
}
