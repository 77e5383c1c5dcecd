using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

/// <summary><c>turfwatch move</c>: from a data folder to PostgreSQL, and never two that send.</summary>
public sealed class MoveTests(LockedServer shared) : IClassFixture<LockedServer>, IAsyncLifetime
{
    private readonly OperatorBench _bench = new();
    private PostgresServer _server = null!;
    private string _database = "";
    private string _connection = "";
    private string _password = "";

    private static CancellationToken Cancel => OperatorBench.Cancel;

    public async ValueTask InitializeAsync()
    {
        _server = await shared.GetAsync();
        _database = await _server.NewDatabaseAsync(Cancel);
        _connection = _server.ConnectionString(_database);
        _password = _bench.PathOf("password");
        await File.WriteAllTextAsync(_password, LockedServer.Password + "\n", Cancel);
    }

    public ValueTask DisposeAsync()
    {
        _bench.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact]
    public async Task A_household_goes_on_where_it_was_moved_to_and_the_old_store_is_held()
    {
        await _bench.FillAsync();
        var link = LinkTokens.Open(_bench.Data).Issue("unsubscribe", 2);
        UsePostgres(true);

        var said = await _bench.DoneAsync("move");

        Assert.StartsWith(
            "Moved: 3 subscribers, 3 lawns, 3 journal lines, 3 messages; in all ",
            said,
            StringComparison.Ordinal
        );
        Assert.Contains("is held and sends nothing any more", said, StringComparison.Ordinal);
        await using (var there = await _bench.OpenAsync())
        {
            Assert.Null(await there.Outbox.HeldAsync(Cancel));
            var person = (await there.Subscribers.FindAsync("p1@example.com", Cancel))!;
            Assert.Single((await there.Journal.LoadAsync(person.Lawns[0].Id, Cancel)).Entries);
            Assert.Equal(
                3,
                (await there.Outbox.ClaimAsync("w", 10, Duration.FromHours(1), Cancel)).Count
            );
            Assert.True(LinkTokens.Open(_bench.Data).TryRead("unsubscribe", link, out _));
        }

        UsePostgres(false);
        await using var old = await _bench.OpenAsync();
        Assert.Empty(await old.Outbox.ClaimAsync("w", 10, Duration.FromHours(1), Cancel));
        var hold = (await old.Outbox.HeldAsync(Cancel))!;
        // Held as a copy is, which makes no messages either.
        Assert.True(hold.IsRestored);
        Assert.Contains(
            $"all of it was moved to PostgreSQL on 127.0.0.1:{_server.Port}, database {_database}",
            hold.Sentence,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_rehearsal_beside_the_running_service_changes_neither_side()
    {
        await _bench.FillAsync();
        await using var running = await _bench.OpenAsync();
        UsePostgres(true);

        var said = await _bench.DoneAsync("move --rehearse");

        Assert.StartsWith("Rehearsed: 3 subscribers", said, StringComparison.Ordinal);
        Assert.Contains("All of it was undone", said, StringComparison.Ordinal);
        Assert.Equal(0L, await RowsAsync("subscriber"));
        Assert.Null(await running.Outbox.HeldAsync(Cancel));
        Assert.Equal(
            3,
            (await running.Outbox.ClaimAsync("w", 10, Duration.FromHours(1), Cancel)).Count
        );
        await running.DisposeAsync();
        await _bench.DoneAsync("move");
        Assert.Equal(3L, await RowsAsync("subscriber"));
    }

    [Fact]
    public async Task A_hold_goes_along()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("outbox hold");
        UsePostgres(true);

        Assert.Contains(
            "The new database is held as the old one was: nothing is sent since",
            await _bench.DoneAsync("move"),
            StringComparison.Ordinal
        );

        await using var there = await _bench.OpenAsync();
        Assert.Equal("held by the operator", (await there.Outbox.HeldAsync(Cancel))!.Reason);
    }

    [Fact]
    public async Task Each_misuse_is_told_and_changes_nothing()
    {
        Assert.Contains(
            "Store:Postgres is empty; write the connection string",
            await _bench.RefusedAsync("move"),
            StringComparison.Ordinal
        );
        UsePostgres(true);
        Assert.Contains(
            "There is no database",
            await _bench.RefusedAsync("move", exit: 1),
            StringComparison.Ordinal
        );
        UsePostgres(false);
        await _bench.FillAsync();

        await using (await _bench.OpenAsync())
        {
            UsePostgres(true);
            Assert.Contains(
                "already running on the folder",
                await _bench.RefusedAsync("move", exit: 1),
                StringComparison.Ordinal
            );
        }

        // Other keys in the folder of the new workers.
        LinkTokens.Open(_bench.PathOf("other"));
        Assert.Contains(
            "is another key file than",
            await _bench.RefusedAsync($"move --from {_bench.Data}", folder: _bench.PathOf("other")),
            StringComparison.Ordinal
        );

        await using (await _bench.OpenAsync())
        {
            Assert.Contains(
                "Stop all workers",
                await _bench.RefusedAsync("move", exit: 1),
                StringComparison.Ordinal
            );
        }

        await using (var started = await _bench.OpenAsync())
        {
            await started.LinkKeyIds.JoinAsync(["abcd"], Cancel);
        }

        Assert.Contains(
            $"database {_database} is not empty (it holds 1 in link_key). Nothing was moved.",
            await _bench.RefusedAsync("move", exit: 1),
            StringComparison.Ordinal
        );
        UsePostgres(false);
        await using var old = await _bench.OpenAsync();
        Assert.Null(await old.Outbox.HeldAsync(Cancel));
    }

    [Fact]
    public async Task The_keys_go_along_into_another_folder()
    {
        await _bench.FillAsync();
        UsePostgres(true);
        var other = _bench.PathOf("workers");

        await _bench.DoneAsync($"move --from {_bench.Data}", other);

        Assert.Equal(
            await File.ReadAllBytesAsync(Path.Combine(_bench.Data, LinkTokens.FileName), Cancel),
            await File.ReadAllBytesAsync(Path.Combine(other, LinkTokens.FileName), Cancel)
        );
        Assert.Equal(
            UnixFileMode.UserRead | UnixFileMode.UserWrite,
            File.GetUnixFileMode(Path.Combine(other, LinkTokens.FileName))
        );
    }

    // A move that was cut off between the two databases: the old one is held, the new one empty.
    [Fact]
    public async Task A_second_try_after_a_cut_brings_a_copy_that_is_held_until_somebody_looked()
    {
        await _bench.FillAsync();
        UsePostgres(true);
        await _bench.DoneAsync("move");
        _database = await _server.NewDatabaseAsync(Cancel);
        _connection = _server.ConnectionString(_database);
        UsePostgres(true);

        Assert.Contains(
            "The new database is held as the old one was",
            await _bench.DoneAsync("move"),
            StringComparison.Ordinal
        );

        await using var there = await _bench.OpenAsync();
        Assert.True((await there.Outbox.HeldAsync(Cancel))!.IsRestored);
        Assert.Empty(await there.Outbox.ClaimAsync("w", 10, Duration.FromHours(1), Cancel));
    }

    [Fact]
    public async Task With_the_real_program_each_message_is_sent_once_and_the_old_service_sends_none()
    {
        await using var relay = FaultySmtp.Start(SmtpScript.Healthy);
        var old = Directory.CreateDirectory(_bench.PathOf("old")).FullName;
        await using (
            var store = await TurfStore.OpenAsync(
                new() { DataDirectory = old },
                TimeProvider.System,
                Cancel
            )
        )
        {
            var now = Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
            // No morning of the service's own comes due while the test runs.
            var farOff = (now + Duration.FromHours(12)).InUtc().TimeOfDay;
            var who = (
                await store.Subscribers.AddAsync(
                    "a@example.com",
                    OperatorBench.Lawn(farOff.Hour, farOff.Minute),
                    Cancel
                )
            )!.Subscriber;
            await store.Outbox.EnqueueAsync(
                [
                    Message(who, "before", now),
                    Message(who, "after", now + Duration.FromSeconds(30)),
                ],
                Cancel
            );
        }

        await using (var service = ServeProcess.Start(old, ServeProcess.Relay(relay.Port)))
        {
            await service.UntilAsync(() => Task.FromResult(relay.Taken.Count >= 1));
            await service.StopAsync();
        }

        UsePostgres(true);
        await _bench.DoneAsync("move", old);
        await using var retired = ServeProcess.Start(old, ServeProcess.Relay(relay.Port));
        await using var worker = ServeProcess.Start(
            old,
            [
                .. ServeProcess.Relay(relay.Port),
                ("Store:Postgres", _connection),
                ("Store:PostgresPasswordFile", _password),
            ]
        );
        await worker.UntilAsync(() => Task.FromResult(relay.Taken.Count >= 2));
        await retired.UntilAsync(() =>
            Task.FromResult(
                retired.Log.Contains(
                    "Delivery stopped early: nothing is sent since",
                    StringComparison.Ordinal
                )
            )
        );
        await retired.StopAsync();
        await worker.StopAsync();

        Assert.Equal(
            ["move.before@example.org", "move.after@example.org"],
            relay.Taken.Select(m => m.MessageId)
        );
    }

    private static OutboxMessage Message(Subscriber to, string key, Instant notBefore) =>
        OperatorBench.Message(to, key, notBefore, Duration.FromHours(3)) with
        {
            MessageId = $"move.{key}@example.org",
            Content = Encoding.ASCII.GetBytes(
                $"From: lawn@example.org\r\nTo: {to.Email}\r\nSubject: Mow\r\nMessage-ID: <move.{key}@example.org>\r\n\r\nDry.\r\n"
            ),
        };

    private void UsePostgres(bool use) =>
        (_bench.Postgres, _bench.PasswordFile) = use ? (_connection, _password) : ("", "");

    private async Task<long> RowsAsync(string table) =>
        (long)(await _server.ExecuteAsync(_database, $"SELECT COUNT(*) FROM {table}", Cancel))!;
}
