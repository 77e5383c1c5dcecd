using System.Data.Common;
using System.Globalization;
using Dapper;
using NodaTime;
using Npgsql;
using TurfWatch.Store.Postgres;
using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store;

/// <summary>What was carried over.</summary>
/// <param name="From">The database file.</param>
/// <param name="To">Server and database.</param>
/// <param name="Holds">What both hold.</param>
/// <param name="Tables">Tables, also those without a row.</param>
/// <param name="Rows">Rows of all tables.</param>
/// <param name="Held">The hold that came with the rows, if there was one.</param>
public sealed record StoreMoved(
    string From,
    string To,
    StoreContents Holds,
    int Tables,
    long Rows,
    OutboxHold? Held
);

/// <summary>
/// Carries all that a SQLite database holds over to an empty PostgreSQL database, in one transaction. Which tables and columns there are
/// is asked of both databases, so that none is forgotten. Just before the commit the old database is held as a copy is,
/// so that at no moment there are two that send.
/// </summary>
public static class StoreMove
{
    /// <param name="from">The data folder; no service runs on it.</param>
    /// <param name="to">The database.</param>
    /// <param name="time">The program's clock.</param>
    /// <param name="rehearse">Do all of it beside a running service, then undo it: both databases stay as they are, but for empty tables.</param>
    /// <param name="cancellation">Undoes what was done.</param>
    /// <exception cref="StoreException">One of the two cannot be used, or the new one is not empty; nothing was moved.</exception>
    public static async Task<StoreMoved> RunAsync(
        StoreOptions from,
        StoreOptions to,
        TimeProvider time,
        bool rehearse,
        CancellationToken cancellation
    )
    {
        if (!File.Exists(from.DatabasePath))
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                $"There is no database {from.DatabasePath}. Name the data folder of the service that is to be moved with --from."
            );
        }

        await using var old = SqliteDatabase.Open(
            from,
            time,
            rehearse ? StoreAccess.Beside : StoreAccess.Own
        );
        if (!rehearse)
        {
            // As at each start of the service: whoever held a lease is gone.
            await new Outbox(old).RecoverAsync(cancellation);
        }

        await using var session = await PostgresSession.OpenAsync(to, cancellation);
        session.RefuseOthers("A move needs a database that nobody works on.");
        session.Do(c =>
        {
            PostgresMigrations.Prepare(c, StoreAccess.Own);
            return true;
        });
        return session.Do(c =>
        {
            using var there = c.BeginTransaction();
            var moved = Copy(old, there, session.Where, cancellation);
            if (rehearse)
            {
                return moved;
            }

            Retire(old, session.Where, cancellation);
            try
            {
                there.Commit();
            }
            catch (NpgsqlException e) when (PostgresFaults.LeavesCommitUnknown(e))
            {
                throw Unsure(from, session.Where, e);
            }
            catch
            {
                Reinstate(old, moved.Held);
                throw;
            }

            return moved;
        });
    }

    private static StoreMoved Copy(
        SqliteDatabase old,
        NpgsqlTransaction there,
        string where,
        CancellationToken cancellation
    )
    {
        var to = there.Connection!;
        var tables = PostgresTables.Names(to, there);
        // Whoever starts on it meanwhile waits.
        to.Execute(
            $"LOCK TABLE {string.Join(", ", tables.Select(PostgresTables.Quoted))} IN EXCLUSIVE MODE",
            transaction: there
        );
        RequireEmpty(to, there, tables, where);
        return old.ReadMomentAsync(
                here =>
                {
                    var from = here.Connection!;
                    RequireSame("tables", TablesOf(from, here), tables);
                    long rows = 0;
                    foreach (var table in tables)
                    {
                        rows += CopyTable(from, here, to, there, table, cancellation);
                    }

                    return new StoreMoved(
                        old.Where,
                        where,
                        StoreContents.Count(to, PostgresMigrations.VersionOf(to), there),
                        tables.Count,
                        rows,
                        Outbox.Held(to, there)
                    );
                },
                cancellation
            )
            .GetAwaiter()
            .GetResult();
    }

    private static void RequireEmpty(
        NpgsqlConnection to,
        NpgsqlTransaction there,
        IReadOnlyList<string> tables,
        string where
    )
    {
        var found = tables
            .Select(t => (Name: t, Rows: PostgresTables.Rows(to, t, there)))
            .Where(t => t.Rows > 0)
            .Select(t => string.Create(CultureInfo.InvariantCulture, $"{t.Rows} in {t.Name}"))
            .ToList();
        if (found.Count > 0)
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                $"{where} is not empty (it holds {string.Join(", ", found.Take(5))}{(found.Count > 5 ? ", …" : "")}). Nothing was moved. "
                    + "Make a new database (createdb), name it in Store:Postgres, and start no worker on it before the move."
            );
        }
    }

    private static IReadOnlyList<string> TablesOf(DbConnection from, DbTransaction here) =>
        [
            .. from.Query<string>(
                "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'",
                transaction: here
            ),
        ];

    private static long CopyTable(
        DbConnection from,
        DbTransaction here,
        NpgsqlConnection to,
        NpgsqlTransaction there,
        string table,
        CancellationToken cancellation
    )
    {
        var columns = PostgresTables.Columns(to, table, there);
        RequireSame(
            $"columns of {table}",
            [
                .. from.Query<string>(
                    "SELECT name FROM pragma_table_info(@table)",
                    new { table },
                    here
                ),
            ],
            [.. columns.Select(c => c.Name)]
        );
        var names = string.Join(", ", columns.Select(c => PostgresTables.Quoted(c.Name)));
        var quoted = PostgresTables.Quoted(table);
        using (var rows = from.ExecuteReader($"SELECT {names} FROM {quoted}", transaction: here))
        using (
            var import = to.BeginBinaryImport($"COPY {quoted} ({names}) FROM STDIN (FORMAT BINARY)")
        )
        {
            // The server waits for the next row as long as it takes.
            import.Timeout = TimeSpan.Zero;
            while (rows.Read())
            {
                cancellation.ThrowIfCancellationRequested();
                import.StartRow();
                for (var i = 0; i < columns.Count; i++)
                {
                    if (rows.IsDBNull(i))
                    {
                        import.WriteNull();
                    }
                    else
                    {
                        import.Write(rows.GetValue(i), columns[i].Type);
                    }
                }
            }

            import.Complete();
        }

        foreach (var counted in columns.Where(c => c.Counts))
        {
            CountOn(from, here, to, there, table, counted.Name);
        }

        var expected = from.ExecuteScalar<long>(
            $"SELECT COUNT(*) FROM {quoted}",
            transaction: here
        );
        var arrived = PostgresTables.Rows(to, table, there);
        return arrived == expected
            ? arrived
            : throw new StoreException(
                StoreFault.Corrupt,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Of {expected} rows of {table} {arrived} arrived. Nothing was moved. Run 'turfwatch check' on the old store."
                )
            );
    }

    /// <summary>Numbers go on after the last that was ever given, also to a row that is gone.</summary>
    private static void CountOn(
        DbConnection from,
        DbTransaction here,
        NpgsqlConnection to,
        NpgsqlTransaction there,
        string table,
        string column
    )
    {
        var last = from.ExecuteScalar<long?>(
            $"""
            SELECT MAX(n) FROM (
                SELECT MAX({PostgresTables.Quoted(column)}) AS n FROM {PostgresTables.Quoted(table)}
                UNION ALL SELECT seq FROM sqlite_sequence WHERE name = @table)
            """,
            new { table },
            here
        );
        if (last is > 0)
        {
            to.Execute(
                "SELECT setval(pg_get_serial_sequence(quote_ident(@table), @column), @last)",
                new
                {
                    table,
                    column,
                    last,
                },
                there
            );
        }
    }

    // Held as a copy is: it makes no messages either. Whoever goes back to it after all is led through the release of a copy.
    private static void Retire(SqliteDatabase old, string where, CancellationToken cancellation) =>
        SetHold(
            old,
            new(
                old.Now,
                $"all of it was moved to {where}; the service runs there",
                old.Now,
                old.Now
            ),
            cancellation
        );

    private static void Reinstate(SqliteDatabase old, OutboxHold? before) =>
        SetHold(old, before, CancellationToken.None);

    private static void SetHold(
        SqliteDatabase old,
        OutboxHold? hold,
        CancellationToken cancellation
    ) =>
        old.WriteAsync(
                t =>
                {
                    t.Connection!.Execute("DELETE FROM outbox_hold", transaction: t);
                    return hold is not null && Outbox.Hold(t, hold);
                },
                cancellation
            )
            .GetAwaiter()
            .GetResult();

    private static StoreException Unsure(StoreOptions from, string where, Exception e) =>
        new(
            StoreFault.Unsure,
            $"The connection to {where} broke at the very end of the move: it was done or not, nobody can tell from here. The old store {from.DatabasePath} is held and sends nothing. "
                + "Run this again: if it says that the database is not empty, the move was done; otherwise it is done then.",
            e
        );

    private static void RequireSame(
        string what,
        IEnumerable<string> here,
        IReadOnlyCollection<string> there
    )
    {
        var other = here.ToHashSet(StringComparer.Ordinal);
        other.SymmetricExceptWith(there);
        if (other.Count > 0)
        {
            throw new InvalidOperationException(
                $"the {what} of the two kinds of database differ by {string.Join(", ", other)}"
            );
        }
    }
}
