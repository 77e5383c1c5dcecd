namespace TurfWatch.Mail.Tests;

internal static class TestComposer
{
    private static readonly string Folder = Directory.CreateTempSubdirectory("link-keys-").FullName;

    public static LinkTokens Tokens { get; } = LinkTokens.Open(Folder);

    public static MessageComposer Make(SenderOptions? sender = null) =>
        new(sender ?? Samples.Sender, Tokens);
}
