using Dapper;
using Microsoft.Data.Sqlite;

namespace TurfWatch.Store.Sqlite;

/// <summary>Whole copies of a database: taken beside a running service, checked, and made ready to be used.</summary>
internal static class SqliteCopies
{
    /// <summary>
    /// Writes the database as it is at this moment into a new file. Readers and the writer of a running service go on
    /// meanwhile. Nothing that was deleted is in the copy.
    /// </summary>
    public static void Take(StoreOptions from, string to) =>
        Guard(
            from.DatabasePath,
            from,
            () =>
            {
                // Ours alone from its first byte on; SQLite takes an empty file for a new one.
                using (
                    new FileStream(
                        to,
                        new FileStreamOptions
                        {
                            Mode = FileMode.CreateNew,
                            Access = FileAccess.Write,
                            UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
                        }
                    )
                ) { }

                using var connection = Open(from.DatabasePath, SqliteOpenMode.ReadWrite, from);
                SqliteMigrations.Check(connection, from.DatabasePath);
                connection.Execute("VACUUM INTO @to", new { to }, commandTimeout: 0);
                return true;
            }
        );

    /// <summary>Reads all of a copy and says what it holds.</summary>
    /// <exception cref="StoreException">It is damaged, another program's, or from a newer TurfWatch.</exception>
    public static StoreContents Check(string path, StoreOptions options) =>
        Guard(
            path,
            options,
            () =>
            {
                using var connection = Open(path, SqliteOpenMode.ReadOnly, options);
                var schema = SqliteMigrations.Check(connection, path);
                var verdict = connection.ExecuteScalar<string>(
                    "PRAGMA integrity_check(1)",
                    commandTimeout: 0
                );
                if (!string.Equals(verdict, "ok", StringComparison.Ordinal))
                {
                    throw SqliteFaults.Damaged(path, verdict ?? "no answer to integrity_check");
                }

                return schema == 0
                    ? throw SqliteFaults.Damaged(path, "it is empty")
                    : StoreContents.Count(connection, schema);
            }
        );

    /// <summary>Brings a copy up to this program's schema and holds its outbox.</summary>
    public static void MakeReady(string path, OutboxHold hold, StoreOptions options) =>
        Guard(
            path,
            options,
            () =>
            {
                using var connection = Open(path, SqliteOpenMode.ReadWrite, options);
                connection.Execute("PRAGMA synchronous = FULL");
                SqliteMigrations.Apply(connection, SqliteMigrations.Check(connection, path));
                using var transaction = connection.BeginTransaction(deferred: false);
                connection.Execute("DELETE FROM outbox_hold", transaction: transaction);
                Outbox.Hold(transaction, hold);
                transaction.Commit();
                return true;
            }
        );

    private static SqliteConnection Open(string path, SqliteOpenMode mode, StoreOptions options)
    {
        var connection = new SqliteConnection(
            new SqliteConnectionStringBuilder
            {
                DataSource = path,
                Mode = mode,
                Pooling = false,
                DefaultTimeout = (int)Math.Ceiling(options.BusyTimeout.TotalSeconds),
            }.ToString()
        );
        connection.Open();
        return connection;
    }

    private static T Guard<T>(string path, StoreOptions options, Func<T> work)
    {
        try
        {
            return work();
        }
        catch (SqliteException e)
        {
            var fault = SqliteFaults.Describe(e, options);
            if (fault is null)
            {
                throw;
            }

            throw fault.Fault == StoreFault.Corrupt
                ? SqliteFaults.Damaged(path, e.Message, e)
                : fault;
        }
    }
}
