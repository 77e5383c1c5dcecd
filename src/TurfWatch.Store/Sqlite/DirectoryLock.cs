using System.Globalization;

namespace TurfWatch.Store.Sqlite;

/// <summary>
/// Holds the data folder for one process. The kernel drops the lock when the process ends, however it
/// ends, so a lock file that is left behind blocks nobody.
/// </summary>
internal sealed class DirectoryLock : IDisposable
{
    private readonly FileStream _file;

    private DirectoryLock(FileStream file) => _file = file;

    /// <exception cref="StoreException">Another process holds the folder, or it cannot be written.</exception>
    public static DirectoryLock Take(StoreOptions options)
    {
        FileStream file;
        try
        {
            file = new FileStream(
                options.LockPath,
                FileMode.OpenOrCreate,
                FileAccess.ReadWrite,
                FileShare.None
            );
        }
        catch (UnauthorizedAccessException e)
        {
            throw new StoreException(
                StoreFault.ReadOnly,
                $"The folder {options.DataDirectory} cannot be written. Give it to the account that runs TurfWatch, "
                    + "or set Store:DataDirectory to a folder that it owns.",
                e
            );
        }
        catch (IOException e) when (IsHeld(e))
        {
            throw new StoreException(
                StoreFault.InUse,
                $"Another TurfWatch is already running on the folder {options.DataDirectory}. "
                    + "Stop it first (systemctl stop turfwatch, or Ctrl+C where it runs), or set Store:DataDirectory to another folder.",
                e
            );
        }
        catch (IOException e)
        {
            throw new StoreException(
                StoreFault.ReadOnly,
                $"The lock file {options.LockPath} cannot be made ({e.Message}). Check that the disk is mounted for writing and has room.",
                e
            );
        }

        var held = new DirectoryLock(file);
        held.WriteOwner();
        return held;
    }

    public void Dispose() => _file.Dispose();

    // .NET asks for the lock with flock(LOCK_EX | LOCK_NB); EWOULDBLOCK is 11 on Linux.
    private static bool IsHeld(IOException e) => (e.HResult & 0xFFFF) == 11;

    private void WriteOwner()
    {
        // The process id is a courtesy to whoever looks into the folder; a full disk must not stop us here.
        try
        {
            _file.SetLength(0);
            _file.Write(
                System.Text.Encoding.ASCII.GetBytes(
                    Environment.ProcessId.ToString(CultureInfo.InvariantCulture) + "\n"
                )
            );
            _file.Flush();
        }
        catch (IOException) { }
    }
}
