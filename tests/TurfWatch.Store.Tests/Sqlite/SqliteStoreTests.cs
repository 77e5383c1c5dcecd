using System.Diagnostics;
using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Core;
using TurfWatch.Store.Sqlite;
using TurfWatch.Testing;

namespace TurfWatch.Store.Tests.Sqlite;

/// <summary>What is SQLite's alone: the lock, the file, the schema, the disk (R32; faults P9, D7 to D10).</summary>
public sealed class SqliteStoreTests : IDisposable
{
    private readonly TempFolder _folder = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Writes_are_in_wal_with_full_synchronisation_and_foreign_keys()
    {
        await using var store = await OpenAsync();
        var report = Assert.IsType<SqliteReport>(await store.InspectAsync(Cancellation));
        Assert.Equal(("ok", 11), (report.Integrity, report.SchemaVersion));
        await using var database = SqliteDatabase.Open(
            _folder.Options,
            TimeProvider.System,
            StoreAccess.Beside
        );
        var (journal, synchronous) = await database.WriteAsync(
            t =>
                (
                    t.Connection!.ExecuteScalar<string>("PRAGMA journal_mode", transaction: t),
                    t.Connection!.ExecuteScalar<long>("PRAGMA synchronous", transaction: t)
                ),
            Cancellation
        );
        Assert.Equal(("wal", 2), (journal, synchronous));
        await Assert.ThrowsAsync<SqliteException>(() =>
            store.Subscribers.AddLawnAsync(4711, Samples.Lawn(), Cancellation)
        );
    }

    [Fact]
    public async Task A_second_service_on_the_folder_is_refused_and_the_first_goes_on()
    {
        await using var first = await OpenAsync();
        var e = await Assert.ThrowsAsync<StoreException>(OpenAsync);
        Assert.Equal(StoreFault.InUse, e.Fault);
        Assert.StartsWith(
            $"Another TurfWatch is already running on the folder {_folder.Path}.",
            e.Message,
            StringComparison.Ordinal
        );
        Assert.NotNull(
            await first.Subscribers.AddAsync("a@b.example", Samples.Lawn(), Cancellation)
        );
    }

    [Fact]
    public async Task A_lock_file_left_behind_blocks_nobody()
    {
        await (await OpenAsync()).DisposeAsync();
        Assert.True(File.Exists(Path.Combine(_folder.Path, "turfwatch.lock")));
        await (await OpenAsync()).DisposeAsync();
    }

    [Fact]
    public async Task A_command_works_beside_the_service_and_disturbs_no_delivery()
    {
        await using var service = await OpenAsync();
        var ann = await service.Subscribers.AddAsync("a@b.example", Samples.Lawn(), Cancellation);
        var now = NodaTime.Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
        await service.Outbox.EnqueueAsync([Samples.Message(ann!.Subscriber, now)], Cancellation);
        var lease = NodaTime.Duration.FromMinutes(1);
        var claimed = await service.Outbox.ClaimAsync("w", 1, lease, Cancellation);
        await service.Outbox.BeginSendingAsync(claimed[0], lease, Cancellation);

        await using (
            var command = await _folder.OpenAsync(
                TimeProvider.System,
                Cancellation,
                StoreAccess.Beside
            )
        )
        {
            await command.Subscribers.AddAsync("b@b.example", Samples.Lawn(), Cancellation);
        }

        Assert.NotNull(await service.Subscribers.FindAsync("b@b.example", Cancellation));
        Assert.True(
            await service.Outbox.CompleteAsync(
                claimed[0],
                OutboxOutcome.Sent("250 ok"),
                Cancellation
            )
        );
    }

    [Fact]
    public async Task A_newer_schema_is_refused_and_left_alone()
    {
        await (await OpenAsync()).DisposeAsync();
        await using (var connection = Connect())
        {
            await connection.ExecuteAsync("PRAGMA user_version = 99");
        }

        var e = await Assert.ThrowsAsync<StoreException>(OpenAsync);
        Assert.Equal(StoreFault.NewerSchema, e.Fault);
        Assert.Contains(
            "written by a newer TurfWatch (schema 99; this program knows 11). Nothing was changed. Run the newer program",
            e.Message,
            StringComparison.Ordinal
        );
        await using var after = Connect();
        Assert.Equal(99, after.ExecuteScalar<long>("PRAGMA user_version"));
    }

    public static TheoryData<int> OlderSchemas =>
        [.. Enumerable.Range(1, SqliteMigrations.Newest - 1)];

    [Theory]
    [MemberData(nameof(OlderSchemas))]
    public async Task A_database_of_each_older_schema_is_brought_up_to_date_with_all_that_it_holds(
        int schema
    )
    {
        await using (var connection = new SqliteConnection($"Data Source={_folder.Database}"))
        {
            await connection.OpenAsync(Cancellation);
            foreach (
                var (_, sql) in new MigrationFiles("Sqlite")
                    .After(0)
                    .Where(file => file.Version <= schema)
            )
            {
                await connection.ExecuteAsync("PRAGMA foreign_keys = OFF");
                await connection.ExecuteAsync(sql);
            }

            await connection.ExecuteAsync(
                $"""
                PRAGMA application_id = 0x54555246;
                PRAGMA user_version = {schema};
                PRAGMA foreign_keys = ON;
                INSERT INTO subscriber (id, email, email_key, status, status_at, created_at)
                VALUES (3, 'a@b.example', 'a@b.example', 'Active', 1, 1), (9, 'gone@b.example', 'gone@b.example', 'Left', 1, 1);
                DELETE FROM subscriber WHERE id = 9;
                INSERT INTO lawn (id, subscriber_id, zip, zone_id, message_second, profile, created_at)
                VALUES (4, 3, '00000', 'America/Chicago', 23400, @profile, 1);
                INSERT INTO journal_entry (lawn_id, kind, date, amount) VALUES (4, 'Mowed', '2026-11-20', 5.08);
                INSERT INTO outbox (subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before,
                    not_after, content, state, next_at, created_at, settled_at)
                VALUES (3, 'Morning', '2026-11-24#4', 'a@b.example', '', 'x@y', 1, 2, @content, 'Sent', 1, 1, 2),
                    (3, 'Morning', '2026-11-23#4', '', '', 'x@y', 1, 2, NULL, 'Sent', 1, 1, 2);
                """,
                new { profile = NounJson.Write(Samples.Lawn()), content = OutboxRow.Zip([1, 2, 3]) }
            );
        }

        SqliteConnection.ClearAllPools();
        await using var after = await OpenAsync();
        Assert.Equal(11, (await after.InspectAsync(Cancellation)).SchemaVersion);
        var found = await after.Subscribers.FindAsync("a@b.example", Cancellation);
        Assert.Equal(4, Assert.Single(found!.Lawns).Id);
        Assert.Single((await after.Journal.LoadAsync(4, Cancellation)).Entries);
        foreach (
            var (key, content) in new[]
            {
                ("2026-11-24#4", new byte[] { 1, 2, 3 }),
                ("2026-11-23#4", []),
            }
        )
        {
            var row = await after.Outbox.FindAsync(3, MessageKind.Morning, key, Cancellation);
            Assert.Equal(OutboxState.Sent, row!.State);
            Assert.Equal(content, row.Content);
        }

        Assert.Null(await after.Climates.LoadAsync("at:1,1", Cancellation));
        Assert.Null(await after.Outbox.HeldAsync(Cancellation));
        // The number of a subscriber that was removed is not given to another.
        var next = await after.Subscribers.AddAsync("c@d.example", Samples.Lawn(), Cancellation);
        Assert.Equal(10, next!.Subscriber.Id);
    }

    [Theory]
    [InlineData("text")]
    [InlineData("cut short")]
    [InlineData("overwritten")]
    [InlineData("another program's")]
    public async Task A_file_that_is_no_sound_database_of_ours_is_refused_and_left_alone(string how)
    {
        await FillAsync();
        SqliteConnection.ClearAllPools();
        var bytes = await File.ReadAllBytesAsync(_folder.Database, Cancellation);
        switch (how)
        {
            case "text":
                bytes = "Dear diary, today I mowed."u8.ToArray();
                break;
            case "cut short":
                bytes = bytes[..(bytes.Length / 2)];
                break;
            case "overwritten":
                Array.Fill(bytes, (byte)0x5A, 4096, bytes.Length - 4096);
                break;
            default:
                File.Delete(_folder.Database);
                await using (var connection = Connect())
                {
                    await connection.ExecuteAsync("CREATE TABLE song (title TEXT)");
                }

                SqliteConnection.ClearAllPools();
                bytes = await File.ReadAllBytesAsync(_folder.Database, Cancellation);
                break;
        }

        await File.WriteAllBytesAsync(_folder.Database, bytes, Cancellation);
        var e = await Assert.ThrowsAsync<StoreException>(OpenAsync);

        Assert.Equal(StoreFault.Corrupt, e.Fault);
        Assert.Contains(
            $"The file {_folder.Database} is not a sound TurfWatch database (",
            e.Message,
            StringComparison.Ordinal
        );
        Assert.Contains("restore a backup", e.Message, StringComparison.Ordinal);
        Assert.Equal(bytes, await File.ReadAllBytesAsync(_folder.Database, Cancellation));
        // The lock is given back: a repaired folder opens without a restart of anything else.
        File.Delete(_folder.Database);
        File.Delete(_folder.Database + "-wal");
        File.Delete(_folder.Database + "-shm");
        await (await OpenAsync()).DisposeAsync();
    }

    [Fact]
    public async Task A_stored_zone_that_the_program_does_not_know_is_named_at_the_start()
    {
        await FillAsync();
        await using (var connection = Connect())
        {
            await connection.ExecuteAsync("UPDATE lawn SET zone_id = 'Mars/Olympus' WHERE id = 1");
        }

        var e = await Assert.ThrowsAsync<StoreException>(OpenAsync);
        Assert.Contains("Mars/Olympus", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_database_held_by_another_program_is_waited_for_and_then_told()
    {
        await using var store = await OpenAsync();
        await using var other = Connect();
        await using (other.BeginTransaction(deferred: false))
        {
            var e = await Assert.ThrowsAsync<StoreException>(() =>
                store.Subscribers.AddAsync("a@b.example", Samples.Lawn(), Cancellation)
            );
            Assert.Equal((StoreFault.Busy, true), (e.Fault, e.MayPass));
            Assert.Contains(
                "was held by another program for more than 1 s",
                e.Message,
                StringComparison.Ordinal
            );
        }

        Assert.NotNull(
            await store.Subscribers.AddAsync("a@b.example", Samples.Lawn(), Cancellation)
        );
    }

    [Fact]
    public async Task A_failed_write_leaves_nothing_half_written()
    {
        await using var store = await OpenAsync();
        // The second insert (the lawn) fails: its zone is unknown. The first must not stay.
        await Assert.ThrowsAsync<ArgumentException>(() =>
            store.Subscribers.AddAsync("a@b.example", Samples.Lawn("No/Where"), Cancellation)
        );
        await using var other = Connect();
        Assert.Equal(0, other.ExecuteScalar<long>("SELECT COUNT(*) FROM subscriber"));
    }

    // D8, D9: needs root, since a small file system is mounted.
    [Fact]
    public async Task A_full_and_a_read_only_disk_stop_writes_and_heal_by_themselves()
    {
        Needs.That(
            Environment.IsPrivilegedProcess,
            "the test must mount a small file system: run it as root"
        );
        var mount = Directory.CreateTempSubdirectory("turfwatch-small-").FullName;
        Needs.That(
            Run("mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", mount) == 0,
            "this machine (a container without CAP_SYS_ADMIN?) does not let root mount a file system"
        );
        try
        {
            var options = new StoreOptions
            {
                DataDirectory = mount,
                MinFreeDiskMiB = 0,
                BusyTimeout = TimeSpan.FromSeconds(1),
            };
            await using var store = await TurfStore.OpenAsync(
                options,
                TimeProvider.System,
                Cancellation
            );
            var added = 0;
            var full = await Assert.ThrowsAsync<StoreException>(async () =>
            {
                for (; added < 100_000; added++)
                {
                    await store.Subscribers.AddAsync(
                        $"s{added}@example.com",
                        Samples.Lawn() with
                        {
                            Name = new string('x', 2000),
                        },
                        Cancellation
                    );
                }
            });
            Assert.Equal((StoreFault.DiskFull, true), (full.Fault, full.MayPass));
            Assert.Contains("is full. Nothing was written", full.Message, StringComparison.Ordinal);
            Assert.Equal(added, await CountAsync(store));

            options.MinFreeDiskMiB = 1;
            var reserve = await Assert.ThrowsAsync<StoreException>(() =>
                store.Outbox.ClaimAsync("w", 1, NodaTime.Duration.FromMinutes(1), Cancellation)
            );
            Assert.Equal(StoreFault.DiskFull, reserve.Fault);
            Assert.Contains(
                "less than the 1 MiB of Store:MinFreeDiskMiB",
                reserve.Message,
                StringComparison.Ordinal
            );

            Assert.Equal(0, Run("mount", "-o", "remount,size=16m", mount));
            Assert.NotNull(
                await store.Subscribers.AddAsync("room@example.com", Samples.Lawn(), Cancellation)
            );
            Assert.Equal("ok", ((SqliteReport)await store.InspectAsync(Cancellation)).Integrity);
            var lease = NodaTime.Duration.FromMinutes(1);
            Assert.Empty(await store.Outbox.ClaimAsync("w", 1, lease, Cancellation));

            // What SQLite has open for writing keeps a file system from turning read-only, so the store is opened anew.
            await store.DisposeAsync();
            Assert.Equal(0, Run("mount", "-o", "remount,ro", mount));
            var readOnly = await Assert.ThrowsAsync<StoreException>(() =>
                TurfStore.OpenAsync(options, TimeProvider.System, Cancellation)
            );
            Assert.Equal(StoreFault.ReadOnly, readOnly.Fault);
            Assert.Contains("mounted for writing", readOnly.Message, StringComparison.Ordinal);
            Assert.Equal(0, Run("mount", "-o", "remount,rw", mount));
            await (
                await TurfStore.OpenAsync(options, TimeProvider.System, Cancellation)
            ).DisposeAsync();
        }
        finally
        {
            Run("umount", "-l", mount);
            Directory.Delete(mount);
        }
    }

    [Fact]
    public async Task A_folder_that_cannot_be_made_is_told_with_the_key_to_change()
    {
        var file = Path.Combine(_folder.Path, "a-file");
        await File.WriteAllTextAsync(file, "", Cancellation);
        var e = await Assert.ThrowsAsync<StoreException>(() =>
            TurfStore.OpenAsync(
                new() { DataDirectory = Path.Combine(file, "data") },
                TimeProvider.System,
                Cancellation
            )
        );
        Assert.Equal(StoreFault.CannotOpen, e.Fault);
        Assert.Contains("Set Store:DataDirectory to a folder", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Each_fault_of_the_options_is_named_with_key_value_and_cure()
    {
        Assert.Empty(new StoreOptions().Faults());
        var faults = new StoreOptions
        {
            DataDirectory = " ",
            BusyTimeout = TimeSpan.Zero,
            MinFreeDiskMiB = -1,
        }
            .Faults()
            .ToList();
        Assert.Equal(3, faults.Count);
        Assert.All(faults, f => Assert.Matches(@"^Store:\w+ is .+; write .+\.$", f));
    }

    private static async Task<int> CountAsync(TurfStore store)
    {
        var count = 0;
        await foreach (var _ in store.Subscribers.ListAsync(Cancellation))
        {
            count++;
        }

        return count;
    }

    private async Task FillAsync()
    {
        await using var store = await OpenAsync();
        for (var i = 0; i < 50; i++)
        {
            await store.Subscribers.AddAsync($"s{i}@example.com", Samples.Lawn(), Cancellation);
        }
    }

    private Task<TurfStore> OpenAsync() => _folder.OpenAsync(TimeProvider.System, Cancellation);

    private SqliteConnection Connect()
    {
        var connection = new SqliteConnection($"Data Source={_folder.Database};Pooling=False");
        connection.Open();
        return connection;
    }

    private static int Run(string program, params string[] arguments)
    {
        using var process = Process.Start(program, arguments);
        process.WaitForExit();
        return process.ExitCode;
    }
}
