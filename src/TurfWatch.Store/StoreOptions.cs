using Npgsql;

namespace TurfWatch.Store;

/// <summary>Where and how the data are kept.</summary>
public sealed class StoreOptions
{
    public const string Section = "Store";

    /// <summary>Folder of the database, its lock file and the key of the links; it is made when it does not exist. Must be on a local disk.</summary>
    public string DataDirectory { get; set; } = "data";

    /// <summary>Connection string of a PostgreSQL database, without a password; empty means SQLite in the data folder.</summary>
    public string Postgres { get; set; } = "";

    /// <summary>File whose first line is the password for PostgreSQL; empty means that the server asks for none.</summary>
    public string PostgresPasswordFile { get; set; } = "";

    /// <summary>How long a write waits for another program that holds the database (a backup, for example), or for a PostgreSQL that restarts.</summary>
    public TimeSpan BusyTimeout { get; set; } = TimeSpan.FromSeconds(10);

    /// <summary>Free space [MiB] of the data folder's disk below which no message is sent, since what became of it could not be saved; SQLite only.</summary>
    public int MinFreeDiskMiB { get; set; } = 32;

    /// <summary>The data are kept in PostgreSQL: several workers may share them.</summary>
    public bool UsesPostgres => Postgres.Length > 0;

    /// <summary>Leases by the program's clock also in PostgreSQL: for tests whose clock stands still.</summary>
    internal bool LeasesByProgramClock { get; set; }

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

        if (UsesPostgres)
        {
            if (PostgresFault() is { } fault)
            {
                yield return fault;
            }

            if (PostgresPasswordFile.Length > 0 && !File.Exists(PostgresPasswordFile))
            {
                yield return $"Store:PostgresPasswordFile names '{PostgresPasswordFile}', which is not there; write the path of a file whose first line is the password.";
            }
        }
        else if (PostgresPasswordFile.Length > 0)
        {
            yield return "Store:PostgresPasswordFile is set, but Store:Postgres is empty; write the connection string, or remove the password file.";
        }
    }

    private string? PostgresFault()
    {
        const string Example =
            "for example \"Host=db.example.org;Database=turfwatch;Username=turfwatch\"";
        NpgsqlConnectionStringBuilder parts;
        try
        {
            parts = new(Postgres);
        }
        catch (Exception e) when (e is ArgumentException or FormatException or KeyNotFoundException)
        {
            // The text itself is not shown: there may be a password in it.
            return $"Store:Postgres cannot be read as a connection string ({e.Message.TrimEnd('.')}); write {Example}.";
        }

        return !string.IsNullOrEmpty(parts.Password)
                ? "Store:Postgres holds a password, which would stand in the configuration for all to see; write it into a file and name that in Store:PostgresPasswordFile."
            : string.IsNullOrEmpty(parts.Host) || string.IsNullOrEmpty(parts.Database)
                ? $"Store:Postgres names no {(string.IsNullOrEmpty(parts.Host) ? "Host" : "Database")}; write {Example}."
            : Array.Find(
                [parts.RootCertificate, parts.SslCertificate, parts.SslKey],
                f => !string.IsNullOrEmpty(f) && !File.Exists(f)
            )
                is { } missing
                ? $"Store:Postgres names the file '{missing}', which is not there; write the path of a certificate or key."
            : null;
    }
}
