using System.Globalization;
using Dapper;
using Npgsql;
using TurfWatch.Store.Postgres;

namespace TurfWatch.Store;

/// <summary>
/// A PostgreSQL database that is ours alone while a copy is put into it. From the first step to the last it has a table of versions
/// without a row, with which no worker starts; a restore that was cut off is undone by the next.
/// </summary>
public sealed class StoreDatabase : IAsyncDisposable
{
    /// <summary>The first schema of which there are backups of PostgreSQL; it knows holds.</summary>
    public const int OldestSchema = 10;

    private readonly StoreOptions _options;
    private readonly PostgresSession _session;
    private bool _unfinished;

    private StoreDatabase(StoreOptions options, PostgresSession session) =>
        (_options, _session) = (options, session);

    /// <summary>Server and database, for messages.</summary>
    public string Where => _session.Where;

    /// <summary>What is in it, for example "3 in subscriber"; empty when there is no row of a household.</summary>
    public IReadOnlyList<string> Contents { get; private set; } = [];

    /// <summary>Takes the database; a restore that was cut off is undone first.</summary>
    /// <exception cref="StoreException">Workers are connected, it is another program's, or it cannot be used.</exception>
    public static async Task<StoreDatabase> TakeAsync(
        StoreOptions options,
        CancellationToken cancellation
    )
    {
        var session = await PostgresSession.OpenAsync(options, cancellation);
        try
        {
            session.RefuseOthers("A copy is put into a database that nobody works on.");
            // Whoever would make or change the tables waits until we are done.
            if (
                !session.Do(c =>
                    c.ExecuteScalar<bool>($"SELECT pg_try_advisory_lock({PostgresLocks.Schema})")
                )
            )
            {
                throw new StoreException(
                    StoreFault.InUse,
                    $"Somebody else restores into {session.Where}, copies it, or brings it up to date just now. Wait until that has ended, then run this again."
                );
            }

            var taken = new StoreDatabase(options, session);
            taken.Look();
            return taken;
        }
        catch
        {
            await session.DisposeAsync();
            throw;
        }
    }

    /// <summary>Puts the rows of a copy into it. What is there is moved into a schema of its own when it holds rows.</summary>
    /// <param name="copy">The file that pg_dump wrote.</param>
    /// <param name="aside">Name of that schema.</param>
    /// <param name="cancellation">Cancels.</param>
    /// <exception cref="StoreException">The copy or the database cannot be used; nothing was changed.</exception>
    public async Task FillAsync(string copy, string aside, CancellationToken cancellation)
    {
        var restore = await PostgresPrograms
            .OfMachine()
            .FindAsync("pg_restore", _session.Major, cancellation);
        await PostgresCopies.ReadAsync(restore, copy, cancellation);
        _unfinished = true;
        _session.Write(t =>
        {
            var c = t.Connection!;
            if (Contents.Count > 0)
            {
                MoveAside(t, aside);
            }
            else
            {
                DropTables(t);
            }

            PostgresMigrations.MakeVersions(t);
            c.Execute(
                $"COMMENT ON TABLE {PostgresTables.Schema} IS '{(Contents.Count > 0 ? aside : "")}'",
                transaction: t
            );
            return true;
        });
        await PostgresPrograms.RunAsync(
            restore,
            [
                "--exit-on-error",
                "--single-transaction",
                "--no-owner",
                "--no-privileges",
                "--no-password",
                $"--dbname={_session.Connection.Database}",
                copy,
            ],
            PostgresConnection.Environment(_options, _session.Connection),
            null,
            cancellation
        );
    }

    /// <summary>Holds the outbox and makes the database a store, in one transaction; then brings it up to this program's schema.</summary>
    /// <param name="expected">What the copy holds.</param>
    /// <param name="hold">Why it is held.</param>
    /// <exception cref="StoreException">It does not hold what the copy did.</exception>
    public StoreContents Open(StoreContents expected, OutboxHold hold)
    {
        _session.Write(t =>
        {
            var found = StoreContents.Count(t.Connection!, expected.Schema, t);
            if (found != expected)
            {
                throw new StoreException(
                    StoreFault.Corrupt,
                    $"The copy says that it holds {InWords(expected)}, but {InWords(found)} came out of it. Nothing was changed. Use another backup."
                );
            }

            t.Connection!.Execute("DELETE FROM outbox_hold", transaction: t);
            Outbox.Hold(t, hold);
            t.Connection!.Execute(
                $"COMMENT ON TABLE {PostgresTables.Schema} IS NULL",
                transaction: t
            );
            PostgresMigrations.Adopt(t, expected.Schema);
            return true;
        });
        _unfinished = false;
        return _session.Do(c =>
        {
            PostgresMigrations.Prepare(c, StoreAccess.Own);
            return StoreContents.Count(c, PostgresMigrations.VersionOf(c));
        });
    }

    public async ValueTask DisposeAsync()
    {
        try
        {
            if (_unfinished)
            {
                Undo();
            }
        }
        catch (Exception e) when (e is StoreException or NpgsqlException)
        {
            // The server is away. The table without a row stays, and the next restore undoes this one.
        }
        finally
        {
            await _session.DisposeAsync();
        }
    }

    private static string InWords(StoreContents holds) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{holds.Subscribers} subscribers, {holds.Lawns} lawns, {holds.JournalLines} journal lines and {holds.Messages} messages"
        );

    private void Look()
    {
        if (_session.Do(c => PostgresTables.IsHalfRestored(c)))
        {
            Undo();
        }

        _session.Do(c =>
        {
            PostgresMigrations.RefuseForeign(c);
            Contents =
            [
                .. PostgresTables
                    .WithRows(c)
                    .Select(n =>
                        string.Create(CultureInfo.InvariantCulture, $"{n.Rows} in {n.Name}")
                    ),
            ];
            return true;
        });
    }

    private void Undo() =>
        _session.Write(t =>
        {
            var c = t.Connection!;
            if (!PostgresTables.IsHalfRestored(c, t))
            {
                // It never began, or it did end.
                return false;
            }

            var aside = c.ExecuteScalar<string?>(
                $"SELECT obj_description('{PostgresTables.Schema}'::regclass, 'pg_class')",
                transaction: t
            );
            DropTables(t);
            if (!string.IsNullOrEmpty(aside))
            {
                var schema = c.ExecuteScalar<string>("SELECT current_schema()", transaction: t)!;
                Move(t, aside, schema);
                c.Execute($"DROP SCHEMA {PostgresTables.Quoted(aside)}", transaction: t);
            }

            return true;
        });

    private static void MoveAside(NpgsqlTransaction t, string aside)
    {
        var c = t.Connection!;
        c.Execute($"CREATE SCHEMA {PostgresTables.Quoted(aside)}", transaction: t);
        Move(t, c.ExecuteScalar<string>("SELECT current_schema()", transaction: t)!, aside);
    }

    private static void Move(NpgsqlTransaction t, string from, string to)
    {
        var c = t.Connection!;
        foreach (
            var table in c.Query<string>(
                    "SELECT tablename FROM pg_tables WHERE schemaname = @from AND tablename NOT LIKE 'qrtz\\_%'",
                    new { from },
                    t
                )
                .ToList()
        )
        {
            c.Execute(
                $"ALTER TABLE {PostgresTables.Quoted(from)}.{PostgresTables.Quoted(table)} SET SCHEMA {PostgresTables.Quoted(to)}",
                transaction: t
            );
        }
    }

    private static void DropTables(NpgsqlTransaction t)
    {
        var c = t.Connection!;
        foreach (var table in PostgresTables.Names(c, t).Reverse())
        {
            c.Execute($"DROP TABLE {PostgresTables.Quoted(table)}", transaction: t);
        }

        c.Execute($"DROP TABLE IF EXISTS {PostgresTables.Schema}", transaction: t);
    }
}
