using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store;

/// <summary>What a database or a copy of it holds.</summary>
/// <param name="Schema">Number of its last migration.</param>
/// <param name="Subscribers">Subscribers of any status.</param>
/// <param name="Lawns">Lawns.</param>
/// <param name="JournalLines">Lines of all journals.</param>
/// <param name="Messages">Rows of the outbox.</param>
/// <param name="Waiting">Rows of the outbox that had not reached their end.</param>
public sealed record StoreContents(
    int Schema,
    long Subscribers,
    long Lawns,
    long JournalLines,
    long Messages,
    long Waiting
)
{
    internal static StoreContents Count(SqliteConnection c, int schema) =>
        new(
            schema,
            Count(c, "subscriber"),
            Count(c, "lawn"),
            Count(c, "journal_entry"),
            Count(c, "outbox"),
            Count(c, "outbox WHERE state IN ('Queued', 'Claimed', 'Sending')")
        );

    private static long Count(SqliteConnection c, string from) =>
        c.ExecuteScalar<long>($"SELECT COUNT(*) FROM {from}");
}

/// <summary>Whole copies of the database, for backups.</summary>
public static class StoreCopies
{
    /// <summary>The newest schema that this program knows.</summary>
    public static int NewestSchema => SqliteMigrations.Newest;

    /// <summary>Writes a copy as of this moment into a new file, beside a running service, and reads all of it back.</summary>
    /// <exception cref="StoreException">There is no database, it is damaged, or the copy does not fit on the disk.</exception>
    public static StoreContents Take(StoreOptions from, string to)
    {
        RequireSqlite(from);
        if (!File.Exists(from.DatabasePath))
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                $"There is no database {from.DatabasePath}. Check Store:DataDirectory, and whether this is the configuration of the service."
            );
        }

        SqliteCopies.Take(from, to);
        return SqliteCopies.Check(to, from);
    }

    /// <exception cref="StoreException">The data are in PostgreSQL, which has tools of its own for this.</exception>
    internal static void RequireSqlite(StoreOptions options)
    {
        if (options.UsesPostgres)
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                "The data are in PostgreSQL (Store:Postgres): make and restore copies with its own tools, pg_dump and pg_restore; docs/operations.md has the commands. Do not forget the file link-keys in Store:DataDirectory."
            );
        }
    }
}
