using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

public sealed class FolderTransportTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("mail-folder-");

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Each_message_is_a_whole_private_file_of_its_own()
    {
        var transport = new FolderTransport(_folder.FullName);
        var first = SmtpRows.Row("a");
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(first, Ct));
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(SmtpRows.Row("b"), Ct));
        var files = _folder.GetFiles();
        Assert.Equal(2, files.Length);
        Assert.All(
            files,
            f => Assert.StartsWith("20261120T120000Z-", f.Name, StringComparison.Ordinal)
        );
        Assert.All(
            files,
            f => Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, f.UnixFileMode)
        );
        Assert.Contains(files, f => File.ReadAllBytes(f.FullName).SequenceEqual(first.Content));
    }

    [Fact]
    public async Task The_same_message_twice_is_one_file_and_another_under_its_name_is_kept_beside_it()
    {
        var transport = new FolderTransport(_folder.FullName);
        var row = SmtpRows.Row();
        await transport.SendAsync(row, Ct);
        await transport.SendAsync(row, Ct);
        Assert.Single(_folder.GetFiles());
        await transport.SendAsync(row with { Content = [.. row.Content, 0x0D, 0x0A] }, Ct);
        Assert.Equal(2, _folder.GetFiles().Length);
        Assert.Contains(_folder.GetFiles(), f => f.Length == row.Content.Length);
    }

    [Fact]
    public async Task A_folder_that_cannot_be_made_is_said_and_no_message_is_blamed()
    {
        var file = Path.Combine(_folder.FullName, "a-file");
        await File.WriteAllTextAsync(file, "", Ct);
        var transport = new FolderTransport(Path.Combine(file, "below"));
        var down = Assert.IsType<SendOutcome.RelayDown>(
            await transport.SendAsync(SmtpRows.Row(), Ct)
        );
        Assert.Contains("cannot be written", down.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_message_id_cannot_lead_out_of_the_folder()
    {
        var transport = new FolderTransport(_folder.FullName);
        OutboxMessage row = SmtpRows.Row() with { MessageId = "../../etc/x\0y@z" };
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(row, Ct));
        Assert.Equal("20261120T120000Z-etcxy.eml", Assert.Single(_folder.GetFiles()).Name);
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
