using System.Globalization;
using Dapper;
using Microsoft.Data.Sqlite;

namespace TurfWatch.Store.Sqlite;

/// <summary>
/// The number of the last migration applied is the database's <c>user_version</c>. Each is applied in a transaction of its
/// own with its number.
/// </summary>
internal static class SqliteMigrations
{
    // Marks the file as ours: "TURF" in ASCII.
    private const long ApplicationId = 0x54555246;

    private const long CheckedAtStartBytes = 256L * 1024 * 1024;

    private static readonly MigrationFiles Files = new("Sqlite");

    public static int Newest => Files.Newest;

    /// <summary>The schema version of the database; 0 for a new, empty file.</summary>
    /// <exception cref="StoreException">The file is another program's, damaged, or from a newer TurfWatch.</exception>
    public static int Check(SqliteConnection connection, string path)
    {
        var application = connection.ExecuteScalar<long>("PRAGMA application_id");
        var version = (int)connection.ExecuteScalar<long>("PRAGMA user_version");
        var tables = connection.ExecuteScalar<long>("SELECT COUNT(*) FROM sqlite_schema");
        if (tables == 0 && version == 0)
        {
            return 0;
        }

        if (application != ApplicationId)
        {
            throw SqliteFaults.Damaged(path, "it belongs to another program");
        }

        if (version > Newest)
        {
            throw new StoreException(
                StoreFault.NewerSchema,
                $"The database {path} was written by a newer TurfWatch (schema {version}; this program knows {Newest}). "
                    + "Nothing was changed. Run the newer program, or restore the backup made before the upgrade."
            );
        }

        // Reads the whole file: a second for a small one; a large one is left to `turfwatch check`.
        if (new FileInfo(path).Length > CheckedAtStartBytes)
        {
            return version;
        }

        var verdict = connection.ExecuteScalar<string>("PRAGMA quick_check(1)");
        if (!string.Equals(verdict, "ok", StringComparison.Ordinal))
        {
            throw SqliteFaults.Damaged(path, verdict ?? "no answer to quick_check");
        }

        return version;
    }

    public static void Apply(SqliteConnection connection, int from)
    {
        // A table that is made anew must not take the rows that refer to it along when the old one is dropped.
        connection.Execute("PRAGMA foreign_keys = OFF");
        foreach (var (version, sql) in Files.After(from))
        {
            using var transaction = connection.BeginTransaction(deferred: false);
            connection.Execute(sql, transaction: transaction);
            if (connection.Query("PRAGMA foreign_key_check", transaction: transaction).Any())
            {
                throw new StoreException(
                    StoreFault.Corrupt,
                    $"The database holds rows that refer to rows which are not there, so it was not brought to schema {version}. Nothing was changed. Restore a backup."
                );
            }

            connection.Execute(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"PRAGMA application_id = {ApplicationId}; PRAGMA user_version = {version};"
                ),
                transaction: transaction
            );
            transaction.Commit();
        }

        connection.Execute("PRAGMA foreign_keys = ON");
    }
}
