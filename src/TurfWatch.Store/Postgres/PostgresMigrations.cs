using System.Data.Common;
using System.Globalization;
using Dapper;
using Npgsql;

namespace TurfWatch.Store.Postgres;

/// <summary>
/// Brings the schema up to date under a lock, so that several workers may start at once. Each step is a transaction with its
/// number. A step says in its first line which programs still run with it; while workers are replaced one after
/// the other, those of the schema before may go on.
/// </summary>
internal static class PostgresMigrations
{
    private const string OldestBefore = "-- Programs from schema ";

    // Waiting for another worker's migration, or rewriting a large table, may take longer than a command of every day.
    private const int MigrationSeconds = 1800;

    private static readonly MigrationFiles Files = new("Postgres");

    public static int Newest => Files.Newest;

    /// <exception cref="StoreException">The database is another program's, or from a newer TurfWatch.</exception>
    public static void Prepare(NpgsqlConnection connection, StoreAccess access)
    {
        var (version, oldest) = Look(connection);
        if (version == 0)
        {
            RefuseHalfRestored(connection);
            RefuseForeign(connection);
        }

        if (version > Newest)
        {
            RefuseNewer(connection, version, oldest);
        }
        else if (version < Newest)
        {
            if (access == StoreAccess.Beside && version > 0)
            {
                throw new StoreException(
                    StoreFault.InUse,
                    $"The database {connection.Database} is not ready (schema {version}, needed {Newest}). "
                        + "The service brings it up to date when it starts: start it, then try again."
                );
            }

            Apply(connection, Files);
        }
    }

    /// <summary>Applies what is missing; what another worker applied meanwhile is left out.</summary>
    internal static void Apply(
        NpgsqlConnection connection,
        MigrationFiles files,
        int upTo = int.MaxValue
    )
    {
        foreach (var (version, sql) in files.After(0).Where(f => f.Version <= upTo))
        {
            using var transaction = connection.BeginTransaction();
            Execute(
                $"""
                SET LOCAL lock_timeout = 0;
                SELECT pg_advisory_xact_lock({PostgresLocks.Schema});
                """
            );
            MakeVersions(transaction);
            if (VersionOf(connection) < version)
            {
                Execute(sql);
                Record(transaction, version, sql);
            }

            transaction.Commit();

            void Execute(string text, object? arguments = null) =>
                connection.Execute(text, arguments, transaction, MigrationSeconds);
        }
    }

    /// <summary>Makes the table of versions; while it has no row no program works with the others.</summary>
    internal static void MakeVersions(DbTransaction transaction) =>
        transaction.Connection!.Execute(
            """
            CREATE TABLE IF NOT EXISTS turfwatch_schema (
                version bigint PRIMARY KEY,
                oldest_program bigint NOT NULL, -- the oldest schema that a program may know and still work with this one
                applied_at timestamptz NOT NULL DEFAULT now()
            );
            """,
            transaction: transaction
        );

    /// <summary>Says of tables that came from a copy which schema they are of.</summary>
    internal static void Adopt(DbTransaction transaction, int schema)
    {
        foreach (var (version, sql) in Files.After(0).Where(f => f.Version <= schema))
        {
            Record(transaction, version, sql);
        }
    }

    /// <summary>The schema of a database that is to be read whole.</summary>
    /// <exception cref="StoreException">It is no database of ours, or a newer one.</exception>
    internal static int RequireReady(NpgsqlConnection connection)
    {
        var (version, oldest) = Look(connection);
        if (version > Newest)
        {
            RefuseNewer(connection, version, oldest);
        }

        if (version > 0)
        {
            return version;
        }

        RefuseHalfRestored(connection);
        RefuseForeign(connection);
        throw new StoreException(
            StoreFault.CannotOpen,
            $"The database {connection.Database} is empty. Check Store:Postgres, and whether this is the configuration of the service."
        );
    }

    public static int VersionOf(DbConnection connection) => Look(connection).Version;

    /// <summary>The oldest schema whose programs run with this step, from its first line.</summary>
    internal static int OldestProgram(int version, string sql)
    {
        var end = sql.IndexOf(" on run with this.", StringComparison.Ordinal);
        return
            sql.StartsWith(OldestBefore, StringComparison.Ordinal)
            && end > 0
            && int.TryParse(
                sql.AsSpan(OldestBefore.Length, end - OldestBefore.Length),
                CultureInfo.InvariantCulture,
                out var oldest
            )
            ? oldest
            : throw new InvalidOperationException(
                $"migration {version} must begin with the line '{OldestBefore}N on run with this.'"
            );
    }

    private static (int Version, int OldestProgram) Look(DbConnection connection)
    {
        var there = connection.ExecuteScalar<bool>(
            "SELECT to_regclass('turfwatch_schema') IS NOT NULL"
        );
        if (!there)
        {
            return (0, 0);
        }

        var (version, oldest) = connection.QuerySingle<(long, long)>(
            "SELECT COALESCE(MAX(version), 0), COALESCE(MAX(oldest_program), 0) FROM turfwatch_schema"
        );
        return ((int)version, (int)oldest);
    }

    private static void Record(DbTransaction transaction, int version, string sql) =>
        transaction.Connection!.Execute(
            "INSERT INTO turfwatch_schema (version, oldest_program) VALUES (@version, @oldest)",
            new { version, oldest = OldestProgram(version, sql) },
            transaction
        );

    private static void RefuseHalfRestored(NpgsqlConnection connection)
    {
        if (PostgresTables.IsHalfRestored(connection))
        {
            throw new StoreException(
                StoreFault.Corrupt,
                $"A copy is being restored into the database {connection.Database}, or that was cut off before its end. "
                    + "Nothing works on it until then: run 'turfwatch restore' again, which first undoes what was cut off."
            );
        }
    }

    internal static void RefuseForeign(NpgsqlConnection connection)
    {
        var found = connection
            .Query<string>(
                "SELECT tablename FROM pg_tables WHERE schemaname = current_schema() AND tablename NOT LIKE 'qrtz%' ORDER BY tablename LIMIT 3"
            )
            .ToList();
        if (found.Count > 0 && VersionOf(connection) == 0)
        {
            throw new StoreException(
                StoreFault.Corrupt,
                $"The database {connection.Database} holds tables of another program ({string.Join(", ", found)}). Nothing was changed. "
                    + "Make a database for TurfWatch alone (createdb) and name it in Store:Postgres."
            );
        }
    }

    private static void RefuseNewer(NpgsqlConnection connection, int version, int oldest)
    {
        // Being replaced: the newer workers said that we may go on until our turn comes.
        if (version == Newest + 1 && oldest <= Newest)
        {
            return;
        }

        throw new StoreException(
            StoreFault.NewerSchema,
            $"The database {connection.Database} was written by a newer TurfWatch (schema {version}; this program knows {Newest}). "
                + "Nothing was changed. Run the newer program, or restore the backup made before the upgrade."
        );
    }
}
