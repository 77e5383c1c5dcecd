using System.Diagnostics;
using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Core;
using TurfWatch.Store.Sqlite;
using TurfWatch.Testing;

namespace TurfWatch.Store.Tests.Sqlite;

/// <content>What is found in the folder at the start.</content>
public sealed partial class SqliteStoreTests
{
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
}
