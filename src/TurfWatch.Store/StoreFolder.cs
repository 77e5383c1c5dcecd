using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store;

/// <summary>A data folder that is ours alone while a copy is put into it.</summary>
public sealed class StoreFolder : IDisposable
{
    private const string DraftEnding = ".restoring";

    private readonly StoreOptions _options;
    private readonly DirectoryLock _lock;

    private StoreFolder(StoreOptions options, DirectoryLock held)
    {
        _options = options;
        _lock = held;
    }

    /// <summary>Takes the folder; it is made when it is not there.</summary>
    /// <exception cref="StoreException">A service runs on it, or it cannot be written.</exception>
    public static StoreFolder Take(StoreOptions options)
    {
        TurfStore.MakeFolder(options);
        var folder = new StoreFolder(options, DirectoryLock.Take(options));
        // What a restore that was cut off left behind.
        foreach (var draft in Directory.GetFiles(options.DataDirectory, "*" + DraftEnding + "*"))
        {
            File.Delete(draft);
        }

        return folder;
    }

    /// <summary>Names of what is in it, apart from our own lock.</summary>
    public IReadOnlyList<string> Contents() =>
        [
            .. Directory
                .EnumerateFileSystemEntries(_options.DataDirectory)
                .Where(path => path != _options.LockPath)
                .Select(path => Path.GetFileName(path)!)
                .Order(StringComparer.Ordinal),
        ];

    /// <summary>It holds a file of that name with the same bytes as another.</summary>
    public bool Has(string name, string other)
    {
        var path = Path.Combine(_options.DataDirectory, name);
        return File.Exists(path)
            && File.ReadAllBytes(path).AsSpan().SequenceEqual(File.ReadAllBytes(other));
    }

    /// <summary>Where a file of that name is written before it is put in place.</summary>
    public string Draft(string name) => Path.Combine(_options.DataDirectory, name + DraftEnding);

    /// <summary>The file that keeps others out, which stays in the folder.</summary>
    public string LockPath => _options.LockPath;

    /// <summary>Names of the files that are the database.</summary>
    public IReadOnlyList<string> DatabaseNames
    {
        get
        {
            var name = Path.GetFileName(_options.DatabasePath);
            return [name, name + "-wal", name + "-shm"];
        }
    }

    /// <summary>Moves the files named into a folder inside, where they stay until somebody deletes them.</summary>
    public void SetAside(string into, params IReadOnlyList<string> names)
    {
        var aside = Path.Combine(_options.DataDirectory, into);
        Directory.CreateDirectory(
            aside,
            UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute
        );
        foreach (var name in names)
        {
            var path = Path.Combine(_options.DataDirectory, name);
            if (File.Exists(path))
            {
                File.Move(path, Path.Combine(aside, name));
            }
        }
    }

    /// <summary>Brings a drafted copy of the database up to date, holds its outbox, and says what it holds.</summary>
    /// <exception cref="StoreException">It is damaged, another program's, or from a newer TurfWatch.</exception>
    public StoreContents MakeReady(string draft, OutboxHold hold)
    {
        SqliteCopies.Check(draft, _options);
        SqliteCopies.MakeReady(draft, hold, _options);
        return SqliteCopies.Check(draft, _options);
    }

    /// <summary>Puts a draft in its place, whole and on the disk.</summary>
    public void Place(string name) =>
        Place(Draft(name), Path.Combine(_options.DataDirectory, name));

    /// <summary>Puts the drafted database in its place: from here on the folder is a store.</summary>
    public void PlaceDatabase(string draft) => Place(draft, _options.DatabasePath);

    public void Dispose() => _lock.Dispose();

    private static void Place(string draft, string path)
    {
        using (var file = File.Open(draft, FileMode.Open, FileAccess.ReadWrite))
        {
            file.Flush(flushToDisk: true);
        }

        File.Move(draft, path, overwrite: false);
    }
}
