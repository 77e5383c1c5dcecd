using System.Data.Common;
using Dapper;
using TurfWatch.Store.Postgres;
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
    internal static StoreContents Count(DbConnection c, int schema, DbTransaction? t = null)
    {
        return new(
            schema,
            Rows("subscriber"),
            Rows("lawn"),
            Rows("journal_entry"),
            Rows("outbox"),
            Rows($"outbox WHERE {Outbox.Open}")
        );

        long Rows(string from) =>
            c.ExecuteScalar<long>($"SELECT COUNT(*) FROM {from}", transaction: t);
    }
}

/// <summary>Whole copies of the database, for backups.</summary>
public static class StoreCopies
{
    /// <summary>The newest schema that this program knows.</summary>
    public static int NewestSchema => SqliteMigrations.Newest;

    /// <summary>The name of a copy in a backup, which tells of which kind of database it is.</summary>
    public static string NameOf(StoreOptions options) =>
        options.UsesPostgres ? PostgresName : SqliteName;

    public const string SqliteName = "turfwatch.db";

    public const string PostgresName = "turfwatch.dump";

    /// <summary>Writes a copy as of this moment into a new file, beside a running service, and reads all of it back.</summary>
    /// <exception cref="StoreException">There is no database, it is damaged, or the copy does not fit on the disk.</exception>
    public static Task<StoreContents> TakeAsync(
        StoreOptions from,
        string to,
        CancellationToken cancellation
    )
    {
        if (from.UsesPostgres)
        {
            return PostgresCopies.TakeAsync(from, to, cancellation);
        }

        if (!File.Exists(from.DatabasePath))
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                $"There is no database {from.DatabasePath}. Check Store:DataDirectory, and whether this is the configuration of the service."
            );
        }

        SqliteCopies.Take(from, to);
        return Task.FromResult(SqliteCopies.Check(to, from));
    }
}
