using NodaTime;
using Npgsql;
using TurfWatch.Store.Postgres;

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>A copy of an older schema is brought up to date where it is restored.</summary>
public sealed class StoreDatabaseTests(PostgresCluster cluster)
{
    private static readonly Instant At = Instant.FromUtc(2026, 11, 29, 12, 0);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_copy_of_the_schema_before_is_brought_up_to_date_and_held()
    {
        var before = PostgresMigrations.Newest - 1;
        await using var full = await cluster.NewHomeAsync(Cancellation);
        await using var old = await PostgresHome.MakeAsync(full.Server, Cancellation);
        await using (
            var connection = new NpgsqlConnection(
                old.Server.ConnectionString(old.Database) + ";Pooling=false"
            )
        )
        {
            await connection.OpenAsync(Cancellation);
            PostgresMigrations.Apply(connection, new MigrationFiles("Postgres"), upTo: before);
        }

        await old.Server.ExecuteAsync(
            old.Database,
            "INSERT INTO subscriber (email, email_key, status, status_at, created_at) VALUES ('a@b.example', 'a@b.example', 'Active', 1, 1)",
            Cancellation
        );
        using var folder = new TempFolder();
        var copy = Path.Combine(folder.Path, "copy");

        var holds = await StoreCopies.TakeAsync(old.Options, copy, Cancellation);
        Assert.Equal((before, 1), (holds.Schema, holds.Subscribers));

        await using var target = await PostgresHome.MakeAsync(full.Server, Cancellation);
        await using (var database = await StoreDatabase.TakeAsync(target.Options, Cancellation))
        {
            await database.FillAsync(copy, "replaced_1", Cancellation);
            var now = database.Open(holds, new(At, "a copy", At, At));
            Assert.Equal(holds with { Schema = PostgresMigrations.Newest }, now);
        }

        await using var store = await target.OpenAsync(TimeProvider.System, Cancellation);
        Assert.True((await store.Outbox.HeldAsync(Cancellation))!.IsRestored);
        Assert.NotNull(await store.Subscribers.FindAsync("a@b.example", Cancellation));
        Assert.Equal(
            PostgresMigrations.Newest,
            (await store.InspectAsync(Cancellation)).SchemaVersion
        );
    }

    [Fact]
    public async Task Workers_that_start_while_a_copy_is_put_in_are_told_to_wait()
    {
        await using var full = await cluster.NewHomeAsync(Cancellation);
        using var folder = new TempFolder();
        var copy = Path.Combine(folder.Path, "copy");
        var holds = await StoreCopies.TakeAsync(full.Options, copy, Cancellation);
        await using var target = await PostgresHome.MakeAsync(full.Server, Cancellation);
        await using (var database = await StoreDatabase.TakeAsync(target.Options, Cancellation))
        {
            await database.FillAsync(copy, "replaced_1", Cancellation);
            var e = await Assert.ThrowsAsync<StoreException>(() =>
                target.OpenAsync(TimeProvider.System, Cancellation)
            );
            Assert.Contains(
                "A copy is being restored into the database",
                e.Message,
                StringComparison.Ordinal
            );
            // Never opened: undone.
        }

        Assert.Equal(
            0,
            await target.AskAsync<long>(
                "SELECT COUNT(*) FROM pg_tables WHERE schemaname = 'public'",
                Cancellation
            )
        );
        Assert.Equal(0, holds.Subscribers);
        await (await target.OpenAsync(TimeProvider.System, Cancellation)).DisposeAsync();
    }
}
