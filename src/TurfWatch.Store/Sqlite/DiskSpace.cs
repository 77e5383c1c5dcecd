namespace TurfWatch.Store.Sqlite;

/// <summary>Free space of the file system that holds a folder.</summary>
internal static class DiskSpace
{
    public static long FreeBytes(string directory)
    {
        try
        {
            return new DriveInfo(Path.GetFullPath(directory)).AvailableFreeSpace;
        }
        catch (IOException)
        {
            // Not known is not full: the write itself will tell.
            return long.MaxValue;
        }
    }

    /// <exception cref="StoreException">There is less room than <see cref="StoreOptions.MinFreeDiskMiB"/>.</exception>
    public static void Require(StoreOptions options)
    {
        if (options.MinFreeDiskMiB == 0)
        {
            return;
        }

        var free = FreeBytes(options.DataDirectory);
        if (free < options.MinFreeDiskMiB * 1024L * 1024L)
        {
            throw new StoreException(
                StoreFault.DiskFull,
                $"The disk that holds {options.DataDirectory} has {free / 1024} KiB free, less than the {options.MinFreeDiskMiB} MiB "
                    + "of Store:MinFreeDiskMiB. No mail is sent until there is room, since what became of it could not be saved; "
                    + "make room, TurfWatch goes on by itself."
            );
        }
    }
}
