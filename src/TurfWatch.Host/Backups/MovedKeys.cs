using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>The key file that must go along when a store is moved: without it no link in mail already sent would work.</summary>
internal sealed class MovedKeys
{
    private readonly string? _from;
    private readonly string _folder;

    private MovedKeys(string? from, string folder) => (_from, _folder) = (from, folder);

    /// <exception cref="Commands.MisuseException">The new folder holds other keys.</exception>
    public static MovedKeys Of(StoreOptions old, StoreOptions to)
    {
        var (from, there) = (PathIn(old.DataDirectory), PathIn(to.DataDirectory));
        if (from == there || !File.Exists(from))
        {
            return new(null, to.DataDirectory);
        }

        if (!File.Exists(there))
        {
            return new(from, to.DataDirectory);
        }

        return File.ReadAllBytes(from).AsSpan().SequenceEqual(File.ReadAllBytes(there))
            ? new(null, to.DataDirectory)
            : throw new Commands.MisuseException(
                $"{there} is another key file than {from}: links in mail already sent would not work. Nothing was moved. Move it away, then run this again."
            );
    }

    /// <summary>Copies the file into the new folder, unless it is there.</summary>
    public void Place()
    {
        if (_from is null)
        {
            return;
        }

        Directory.CreateDirectory(
            _folder,
            UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute
        );
        var (path, draft) = (PathIn(_folder), PathIn(_folder) + ".part");
        File.Delete(draft);
        using (
            var file = new FileStream(
                draft,
                new FileStreamOptions
                {
                    Mode = FileMode.CreateNew,
                    Access = FileAccess.Write,
                    UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
                }
            )
        )
        {
            file.Write(File.ReadAllBytes(_from));
            file.Flush(flushToDisk: true);
        }

        File.Move(draft, path, overwrite: false);
        FileOwner.AsFolder(_folder, path);
    }

    private static string PathIn(string folder) =>
        Path.Combine(Path.GetFullPath(folder), LinkTokens.FileName);
}
