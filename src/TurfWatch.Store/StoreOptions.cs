namespace TurfWatch.Store;

/// <summary>Where and how the data are kept.</summary>
public sealed class StoreOptions
{
    public const string Section = "Store";

    /// <summary>Folder of the database and its lock file; it is made when it does not exist. Must be on a local disk.</summary>
    public string DataDirectory { get; set; } = "data";

    /// <summary>How long a write waits for another program that holds the database (a backup, for example).</summary>
    public TimeSpan BusyTimeout { get; set; } = TimeSpan.FromSeconds(10);

    /// <summary>Free space [MiB] below which no message is sent, since what became of it could not be saved.</summary>
    public int MinFreeDiskMiB { get; set; } = 32;

    internal string DatabasePath => Path.Combine(DataDirectory, "turfwatch.db");

    internal string LockPath => Path.Combine(DataDirectory, "turfwatch.lock");

    public IEnumerable<string> Faults()
    {
        if (string.IsNullOrWhiteSpace(DataDirectory))
        {
            yield return "Store:DataDirectory is empty; write the folder in which the database is kept, for example \"data\".";
        }

        if (BusyTimeout < TimeSpan.FromSeconds(1) || BusyTimeout > TimeSpan.FromMinutes(5))
        {
            yield return $"Store:BusyTimeout is {BusyTimeout}; write a time from 00:00:01 to 00:05:00.";
        }

        if (MinFreeDiskMiB is < 0 or > 1_000_000)
        {
            yield return $"Store:MinFreeDiskMiB is {MinFreeDiskMiB}; write a number of MiB from 0 (no check) to 1000000.";
        }
    }
}
