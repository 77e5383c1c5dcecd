using System.Diagnostics;
using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Core;
using TurfWatch.Store.Sqlite;
using TurfWatch.Testing;

namespace TurfWatch.Store.Tests.Sqlite;

/// <content>Disks that are full, read only, or held by others.</content>
public sealed partial class SqliteStoreTests
{
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
}
