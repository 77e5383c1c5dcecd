using Microsoft.Data.Sqlite;

namespace TurfWatch.Store.Sqlite;

/// <summary>Turns SQLite's error codes (https://sqlite.org/rescode.html) into sentences for the operator.</summary>
internal static class SqliteFaults
{
    private const int Busy = 5;
    private const int Locked = 6;
    private const int ReadOnly = 8;
    private const int IoError = 10;
    private const int Corrupt = 11;
    private const int Full = 13;
    private const int CannotOpen = 14;
    private const int NotADatabase = 26;

    /// <summary>The fault of the surroundings that <paramref name="e"/> tells of, or null when it is our own mistake.</summary>
    public static StoreException? Describe(SqliteException e, StoreOptions options)
    {
        var path = options.DatabasePath;
        return e.SqliteErrorCode switch
        {
            Busy or Locked => new(
                StoreFault.Busy,
                $"The database {path} was held by another program for more than {options.BusyTimeout.TotalSeconds:0} s. "
                    + "Close the other program (a database browser, a backup), or raise Store:BusyTimeout.",
                e
            ),
            Full => DiskFull(options, e),
            // A full disk shows as a plain I/O error when the shared-memory file cannot grow.
            IoError when DiskSpace.FreeBytes(options.DataDirectory) < 128 * 1024 => DiskFull(
                options,
                e
            ),
            IoError => new(
                StoreFault.Disk,
                $"The disk failed while reading or writing {path} (SQLite: {e.Message}). Check the disk and its cable, "
                    + "then restore a backup if the database no longer opens.",
                e
            ),
            ReadOnly => new(
                StoreFault.ReadOnly,
                $"The database {path} cannot be written. Check that the file system is not mounted read-only and that "
                    + $"the account that runs TurfWatch owns the folder {options.DataDirectory}.",
                e
            ),
            Corrupt or NotADatabase => Damaged(path, e.Message, e),
            CannotOpen => new(
                StoreFault.CannotOpen,
                $"The database {path} cannot be opened. Check that the account that runs TurfWatch may read and write "
                    + $"the folder {options.DataDirectory}.",
                e
            ),
            _ => null,
        };
    }

    public static StoreException Damaged(string path, string detail, Exception? inner = null) =>
        new(
            StoreFault.Corrupt,
            $"The file {path} is not a sound TurfWatch database ({detail}). Nothing was changed. "
                + "Move it and its -wal and -shm files away and restore a backup, or start with an empty folder.",
            inner
        );

    private static StoreException DiskFull(StoreOptions options, Exception e) =>
        new(
            StoreFault.DiskFull,
            $"The disk that holds {options.DataDirectory} is full. Nothing was written and no mail is sent until "
                + "there is room; make room, TurfWatch goes on by itself.",
            e
        );
}
