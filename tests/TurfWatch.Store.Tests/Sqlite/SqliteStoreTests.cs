using System.Diagnostics;
using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Core;
using TurfWatch.Store.Sqlite;
using TurfWatch.Testing;

namespace TurfWatch.Store.Tests.Sqlite;

/// <summary>What is SQLite's alone: the lock, the file, the schema, the disk (R32; faults P9, D7 to D10).</summary>
public sealed partial class SqliteStoreTests : IDisposable
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
