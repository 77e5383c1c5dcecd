using Npgsql;
using TurfWatch.Core;
using TurfWatch.Store.Postgres;
using TurfWatch.Store.Sqlite;
using TurfWatch.Testing;

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>The schema on PostgreSQL: made under a lock, the same as SQLite's, and what is refused (R32; faults D10, Q3).</summary>
public sealed class PostgresSchemaTests(PostgresCluster cluster)
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Both_kinds_of_database_have_the_same_tables_and_columns()
    {
        Assert.Equal(SqliteMigrations.Newest, PostgresMigrations.Newest);
        using var folder = new TempFolder();
        await (await folder.OpenAsync(TimeProvider.System, Cancellation)).DisposeAsync();
        await using var home = await cluster.NewHomeAsync(Cancellation);
        await using var sqlite = SqliteDatabase.Open(
            folder.Options,
            TimeProvider.System,
            StoreAccess.Beside
        );

        var here = await sqlite.ReadAsync(
            c =>
                Rows(
                    c,
                    """
                    SELECT m.name || '.' || p.name || ' ' || CASE WHEN p."notnull" OR p.pk THEN 'not null' ELSE 'null' END
                        || CASE p.type WHEN 'INTEGER' THEN ' bigint' WHEN 'TEXT' THEN ' text'
                            WHEN 'REAL' THEN ' double precision' ELSE ' bytea' END
                    FROM sqlite_schema AS m, pragma_table_info(m.name) AS p
                    WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite%'
                    """
                ),
            Cancellation
        );
        await using var connection = await ConnectAsync(home);
        var there = Rows(
            connection,
            """
            SELECT table_name || '.' || column_name || ' ' || CASE is_nullable WHEN 'NO' THEN 'not null' ELSE 'null' END
                || ' ' || data_type
            FROM information_schema.columns WHERE table_schema = 'public' AND table_name <> 'turfwatch_schema'
            """
        );

        Assert.Equal(here, there);
        Assert.True(here.Count > 80, $"only {here.Count} columns were compared");
    }

    [Fact]
    public async Task Workers_that_start_at_once_on_an_empty_database_all_run()
    {
        await using var home = await EmptyAsync();

        var stores = await Task.WhenAll(
            Enumerable
                .Range(0, 8)
                .Select(_ => Task.Run(() => home.OpenAsync(TimeProvider.System, Cancellation)))
        );

        foreach (var store in stores)
        {
            var report = await store.InspectAsync(Cancellation);
            Assert.Equal(PostgresMigrations.Newest, report.SchemaVersion);
            await store.DisposeAsync();
        }
    }

    [Fact]
    public async Task A_database_of_the_first_schema_is_brought_up_to_date()
    {
        await using var home = await EmptyAsync();
        await using (var connection = await ConnectAsync(home))
        {
            PostgresMigrations.Apply(connection, new MigrationFiles("Postgres"), upTo: 6);
            Assert.Equal(6, PostgresMigrations.VersionOf(connection));
            await using var message = new NpgsqlCommand(
                """
                INSERT INTO outbox (subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before, not_after,
                    content, state, next_at, created_at)
                VALUES (3, 'Morning', 'k', 'a@b.example', '', 'x@y', 1, 2, $1, 'Queued', 1, 1)
                """,
                connection
            )
            {
                Parameters = { new() { Value = OutboxRow.Zip([1, 2, 3]) } },
            };
            await message.ExecuteNonQueryAsync(Cancellation);
        }

        var e = await Assert.ThrowsAsync<StoreException>(() =>
            home.OpenAsync(TimeProvider.System, Cancellation, StoreAccess.Beside)
        );
        Assert.Equal(StoreFault.InUse, e.Fault);
        Assert.Contains("(schema 6, needed", e.Message, StringComparison.Ordinal);
        await using var store = await home.OpenAsync(TimeProvider.System, Cancellation);
        Assert.Equal(
            PostgresMigrations.Newest,
            (await store.InspectAsync(Cancellation)).SchemaVersion
        );
        var kept = await store.Outbox.FindAsync(3, MessageKind.Morning, "k", Cancellation);
        Assert.Equal([1, 2, 3], kept!.Content);
    }

    [Theory]
    [InlineData(1, 0, true)] // one newer, and we may go on: a rolling upgrade
    [InlineData(1, 1, false)] // one newer, which needs newer programs
    [InlineData(2, 0, false)] // two newer, whatever it says
    public async Task A_newer_schema_is_refused_unless_it_is_the_next_and_says_that_we_may_go_on(
        int newer,
        int oldest,
        bool runs
    )
    {
        await using var home = await cluster.NewHomeAsync(Cancellation);
        await home.Server.ExecuteAsync(
            home.Database,
            $"INSERT INTO turfwatch_schema (version, oldest_program) VALUES ({PostgresMigrations.Newest + newer}, {PostgresMigrations.Newest + oldest})",
            Cancellation
        );

        if (runs)
        {
            await (await home.OpenAsync(TimeProvider.System, Cancellation)).DisposeAsync();
            return;
        }

        var e = await Assert.ThrowsAsync<StoreException>(() =>
            home.OpenAsync(TimeProvider.System, Cancellation)
        );
        Assert.Equal(StoreFault.NewerSchema, e.Fault);
        Assert.Contains(
            $"(schema {PostgresMigrations.Newest + newer}; this program knows {PostgresMigrations.Newest}). Nothing was changed.",
            e.Message,
            StringComparison.Ordinal
        );
    }

    // Workers are replaced one after the other: those of the version before meet the new schema.
    [Fact]
    public void Each_step_only_adds_unless_it_says_that_older_programs_stop()
    {
        foreach (var (version, sql) in new MigrationFiles("Postgres").After(6))
        {
            var oldest = PostgresMigrations.OldestProgram(version, sql);
            Assert.InRange(oldest, version - 1, version);
            if (oldest < version)
            {
                Assert.DoesNotMatch(
                    @"(?im)^\s*(DROP|DELETE|TRUNCATE)\b|\b(DROP COLUMN|RENAME|SET NOT NULL|ALTER COLUMN)\b",
                    sql
                );
            }
        }
    }

    [Fact]
    public async Task A_database_of_another_program_is_refused_and_left_alone()
    {
        await using var home = await EmptyAsync();
        await home.Server.ExecuteAsync(
            home.Database,
            "CREATE TABLE song (title text)",
            Cancellation
        );

        var e = await Assert.ThrowsAsync<StoreException>(() =>
            home.OpenAsync(TimeProvider.System, Cancellation)
        );

        Assert.Equal(StoreFault.Corrupt, e.Fault);
        Assert.Contains("tables of another program (song)", e.Message, StringComparison.Ordinal);
        Assert.Equal(
            1,
            await home.AskAsync<long>(
                "SELECT COUNT(*) FROM pg_tables WHERE schemaname = 'public'",
                Cancellation
            )
        );
    }

    private async Task<PostgresHome> EmptyAsync()
    {
        // A home of the cluster has the schema; beside it, an empty database of the same server.
        await using var full = await cluster.NewHomeAsync(Cancellation);
        return await PostgresHome.MakeAsync(full.Server, Cancellation);
    }

    private static async Task<NpgsqlConnection> ConnectAsync(PostgresHome home)
    {
        var connection = new NpgsqlConnection(
            home.Server.ConnectionString(home.Database) + ";Pooling=false"
        );
        await connection.OpenAsync(Cancellation);
        return connection;
    }

    private static List<string> Rows(System.Data.Common.DbConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        using var reader = command.ExecuteReader();
        var rows = new List<string>();
        while (reader.Read())
        {
            rows.Add(reader.GetString(0));
        }

        rows.Sort(StringComparer.Ordinal);
        return rows;
    }
}
