using System.Data;
using System.Globalization;
using Dapper;

namespace TurfWatch.Store.Postgres;

/// <summary>Whole copies of a PostgreSQL database, by the server's own <c>pg_dump</c>, in its custom format.</summary>
internal static class PostgresCopies
{
    /// <summary>
    /// Writes the rows as they are at one moment into a new file and reads them back. Workers go on meanwhile. The copy does not hold
    /// which schema it is of: whoever restores it must say so, and only then can it be used.
    /// </summary>
    /// <exception cref="StoreException">The database or pg_dump cannot be used.</exception>
    public static async Task<StoreContents> TakeAsync(
        StoreOptions from,
        string to,
        CancellationToken cancellation
    )
    {
        await using var session = await PostgresSession.OpenAsync(from, cancellation);
        var programs = PostgresPrograms.OfMachine();
        var dump = await programs.FindAsync("pg_dump", session.Major, cancellation);
        var restore = await programs.FindAsync("pg_restore", session.Major, cancellation);
        // Taken before the moment begins, so that no worker changes the schema between our look at it and pg_dump's.
        session.Do(c => c.Execute($"SELECT pg_advisory_lock_shared({PostgresLocks.Schema})"));
        // Only looked at; the transaction keeps the moment for pg_dump and is never committed.
        await using var moment = session.Do(c => c.BeginTransaction(IsolationLevel.RepeatableRead));
        var (holds, snapshot, tables) = session.Do(c =>
        {
            var schema = PostgresMigrations.RequireReady(c);
            return (
                StoreContents.Count(c, schema, moment),
                c.ExecuteScalar<string>("SELECT pg_export_snapshot()", transaction: moment)!,
                c.Query<string>(
                        "SELECT quote_ident(current_schema()) || '.' || quote_ident(name) FROM unnest(@names) AS name",
                        new { names = PostgresTables.Names(c, moment).ToArray() },
                        moment
                    )
                    .ToList()
            );
        });
        await using (
            var file = new FileStream(
                to,
                new FileStreamOptions
                {
                    Mode = FileMode.CreateNew,
                    Access = FileAccess.Write,
                    UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
                }
            )
        )
        {
            await PostgresPrograms.RunAsync(
                dump,
                [
                    "--format=custom",
                    "--compress=1",
                    "--no-owner",
                    "--no-privileges",
                    "--no-password",
                    "--strict-names",
                    $"--snapshot={snapshot}",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"--lock-wait-timeout={(int)from.BusyTimeout.TotalMilliseconds}"
                    ),
                    .. tables.Select(t => $"--table={t}"),
                ],
                PostgresConnection.Environment(from, session.Connection),
                file,
                cancellation
            );
        }

        await ReadAsync(restore, to, cancellation);
        return holds;
    }

    /// <summary>Reads a copy from its first byte to its last.</summary>
    public static Task ReadAsync(string restore, string copy, CancellationToken cancellation) =>
        PostgresPrograms.RunAsync(restore, ["--file=-", copy], null, null, cancellation);
}
