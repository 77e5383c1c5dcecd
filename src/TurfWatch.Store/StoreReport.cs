using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store;

/// <summary>How the store is.</summary>
/// <param name="Path">The database file.</param>
/// <param name="SchemaVersion">Number of its last migration.</param>
/// <param name="FileBytes">Size of the file.</param>
/// <param name="FreeBytes">Free space of its disk.</param>
/// <param name="Integrity"><c>ok</c>, or what SQLite found wrong.</param>
public sealed record StoreReport(
    string Path,
    int SchemaVersion,
    long FileBytes,
    long FreeBytes,
    string Integrity
)
{
    internal static StoreReport Make(SqliteConnection connection, StoreOptions options) =>
        new(
            options.DatabasePath,
            (int)connection.ExecuteScalar<long>("PRAGMA user_version"),
            new FileInfo(options.DatabasePath).Length,
            DiskSpace.FreeBytes(options.DataDirectory),
            connection.ExecuteScalar<string>("PRAGMA integrity_check(3)") ?? "no answer"
        );
}
