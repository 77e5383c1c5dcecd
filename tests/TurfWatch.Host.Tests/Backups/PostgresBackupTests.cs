using System.Diagnostics;
using System.Formats.Tar;
using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

/// <summary><c>backup</c> and <c>restore</c> of a store in PostgreSQL, with the server's own programs (R33).</summary>
public sealed partial class PostgresBackupTests(LockedServer shared)
    : IClassFixture<LockedServer>,
        IAsyncLifetime
{
    private readonly OperatorBench _bench = new();
    private PostgresServer _server = null!;
    private string _database = "";

    private static CancellationToken Cancel => OperatorBench.Cancel;

    private string Backup => _bench.PathOf("b.tar.gz");

    private string Second => _bench.PathOf("second");

    public async ValueTask InitializeAsync()
    {
        _server = await shared.GetAsync();
        var password = _bench.PathOf("password");
        await File.WriteAllTextAsync(password, LockedServer.Password + "\n", Cancel);
        _bench.PasswordFile = password;
        await UseNewDatabaseAsync();
    }

    public ValueTask DisposeAsync()
    {
        _bench.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact]
    public async Task A_backup_made_beside_a_running_worker_brings_all_of_it_back_into_an_empty_database()
    {
        await _bench.FillAsync();
        var link = LinkTokens.Open(_bench.Data).Issue("unsubscribe", 2);
        await using (await _bench.OpenAsync())
        {
            var said = await _bench.DoneAsync("backup --to b.tar.gz");
            Assert.Contains(
                "3 subscribers, 3 lawns, 3 journal lines, 3 messages and the link keys, as of 2026-11-29T12:00:00Z",
                said,
                StringComparison.Ordinal
            );
            Assert.DoesNotContain(LockedServer.Password, said, StringComparison.Ordinal);
        }

        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Backup));
        Assert.Equal([Backup], Directory.GetFiles(_bench.Folder, "b.*"));

        await UseNewDatabaseAsync();
        _bench.Time.Advance(TimeSpan.FromHours(1));
        var restored = await _bench.DoneAsync("restore --from b.tar.gz", Second);
        Assert.Contains("as of 2026-11-29T12:00:00Z", restored, StringComparison.Ordinal);
        Assert.Contains("Nothing is sent yet", restored, StringComparison.Ordinal);
        await using var store = await _bench.OpenAsync(Second);
        var hold = (await store.Outbox.HeldAsync(Cancel))!;
        Assert.Equal(
            (OperatorBench.Start, _bench.Now, true),
            (hold.BackupAt!.Value, hold.RestoredAt!.Value, hold.IsRestored)
        );
        var person = (await store.Subscribers.FindAsync("p1@example.com", Cancel))!;
        Assert.Single((await store.Journal.LoadAsync(person.Lawns[0].Id, Cancel)).Entries);
        Assert.True(LinkTokens.Open(Second).TryRead("unsubscribe", link, out var who));
        Assert.Equal(2, who);
        Assert.Equal(
            UnixFileMode.UserRead | UnixFileMode.UserWrite,
            File.GetUnixFileMode(Path.Combine(Second, LinkTokens.FileName))
        );
        Assert.Empty(Directory.GetFiles(Second, "*.restoring*"));
        // Numbers go on after the last that was given.
        var next = await store.Subscribers.AddAsync("p3@example.com", OperatorBench.Lawn(), Cancel);
        Assert.Equal(4, next!.Subscriber.Id);
    }

    // The restore compares what came out with what the backup says; a copy of two moments would not agree with itself.
    [Fact]
    public async Task A_backup_taken_while_others_write_is_of_one_moment()
    {
        await _bench.FillAsync();
        using var stop = new CancellationTokenSource();
        await using var busy = await _bench.OpenAsync();
        var writing = Task.Run(
            async () =>
            {
                var n = 100;
                while (!stop.IsCancellationRequested)
                {
                    var who = (
                        await busy.Subscribers.AddAsync(
                            $"p{++n}@example.com",
                            OperatorBench.Lawn(),
                            Cancel
                        )
                    )!;
                    await busy.Journal.AddAsync(
                        who.Lawns[0].Id,
                        new(0, Core.JournalKind.Mowed, new(2026, 11, 20), 5),
                        Cancel
                    );
                }

                return n;
            },
            Cancel
        );
        await _bench.DoneAsync("backup --to b.tar.gz");
        await stop.CancelAsync();
        var last = await writing;

        await UseNewDatabaseAsync();
        await _bench.DoneAsync("restore --from b.tar.gz", Second);
        var (subscribers, lawns) = (await RowsAsync("subscriber"), await RowsAsync("lawn"));
        Assert.Equal(subscribers, lawns);
        Assert.True(last > 110, $"only {last - 100} people joined meanwhile");
        Assert.InRange(subscribers, 3, last - 100 + 3);
    }

    [Fact]
    public async Task A_database_with_rows_is_refused_and_set_aside_when_told()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await _bench.DoneAsync("erase --email p0@example.com --yes");
        var refused = await _bench.RefusedAsync("restore --from b.tar.gz");
        Assert.Contains(
            $"database {_database} is not empty (it holds ",
            refused,
            StringComparison.Ordinal
        );
        Assert.Contains("2 in subscriber", refused, StringComparison.Ordinal);
        Assert.Equal(2, await RowsAsync("subscriber"));

        var said = await _bench.DoneAsync("restore --from b.tar.gz --replace");
        var aside = $"replaced_{OperatorBench.Start.ToUnixTimeSeconds()}";
        Assert.Contains($"the schema {aside} of the database", said, StringComparison.Ordinal);
        Assert.Equal(3, await RowsAsync("subscriber"));
        Assert.Equal(2, await RowsAsync($"{aside}.subscriber"));
        await using var store = await _bench.OpenAsync();
        Assert.NotNull(await store.Subscribers.FindAsync("p0@example.com", Cancel));
    }

    [Fact]
    public async Task A_database_in_which_a_worker_was_only_started_counts_as_empty()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await UseNewDatabaseAsync();
        await using (var started = await _bench.OpenAsync(Second))
        {
            await started.LinkKeyIds.JoinAsync(["abcd"], Cancel);
        }

        await _bench.DoneAsync("restore --from b.tar.gz", _bench.PathOf("third"));
        Assert.Equal(3, await RowsAsync("subscriber"));
        Assert.Equal(0, await RowsAsync("link_key WHERE id = 'abcd'"));
    }

    [Fact]
    public async Task Each_misuse_is_told_and_changes_nothing()
    {
        // No worker ran here: there are no keys, and a backup without them would be worth little.
        await (await _bench.OpenAsync()).DisposeAsync();
        Assert.Contains(
            "The key file",
            await _bench.RefusedAsync("backup --to b.tar.gz"),
            StringComparison.Ordinal
        );
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");

        // A worker is connected.
        await using (await _bench.OpenAsync())
        {
            Assert.Contains(
                "Stop all workers",
                await _bench.RefusedAsync("restore --from b.tar.gz --replace", exit: 1),
                StringComparison.Ordinal
            );
        }

        // Another key file lies where that of the backup belongs.
        await UseNewDatabaseAsync();
        LinkTokens.Open(Second);
        Assert.Contains(
            "holds another link-keys than the backup",
            await _bench.RefusedAsync("restore --from b.tar.gz", folder: Second),
            StringComparison.Ordinal
        );

        // A text, and the other kind of database, both ways.
        await File.WriteAllTextAsync(_bench.PathOf("t.tar.gz"), "Dear diary", Cancel);
        Assert.Contains(
            "damaged or none of ours",
            await _bench.RefusedAsync("restore --from t.tar.gz", exit: 1, folder: Second),
            StringComparison.Ordinal
        );
        var postgres = _bench.Postgres;
        (_bench.Postgres, var file) = ("", _bench.PasswordFile);
        _bench.PasswordFile = "";
        Assert.Contains(
            "was made from PostgreSQL, but Store:Postgres is empty",
            await _bench.RefusedAsync(
                "restore --from b.tar.gz",
                exit: 1,
                folder: _bench.PathOf("f")
            ),
            StringComparison.Ordinal
        );
        await using (await _bench.OpenAsync(_bench.PathOf("sqlite"))) { }

        await _bench.DoneAsync("backup --to s.tar.gz", _bench.PathOf("sqlite"));
        (_bench.Postgres, _bench.PasswordFile) = (postgres, file);
        Assert.Contains(
            "was made from a data folder (SQLite), but Store:Postgres is set",
            await _bench.RefusedAsync("restore --from s.tar.gz", exit: 1, folder: Second),
            StringComparison.Ordinal
        );
        Assert.Equal(0, await TablesAsync());

        // An empty database has nothing to copy.
        Assert.Contains(
            $"The database {_database} is empty",
            await _bench.RefusedAsync("backup --to e.tar.gz", exit: 1),
            StringComparison.Ordinal
        );
        Assert.False(File.Exists(_bench.PathOf("e.tar.gz")));
    }

    private async Task UseNewDatabaseAsync()
    {
        _database = await _server.NewDatabaseAsync(Cancel);
        _bench.Postgres = _server.ConnectionString(_database);
    }

    private async Task<long> RowsAsync(string table) =>
        (long)(await _server.ExecuteAsync(_database, $"SELECT COUNT(*) FROM {table}", Cancel))!;

    private Task<long> TablesAsync() => RowsAsync("pg_tables WHERE schemaname = 'public'");

    private Task ExecuteAsync(string sql) => _server.ExecuteAsync(_database, sql, Cancel);
}
