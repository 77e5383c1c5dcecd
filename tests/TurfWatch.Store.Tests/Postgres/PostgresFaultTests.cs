using System.Text;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using Npgsql;
using TurfWatch.Core;
using TurfWatch.Testing;

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>Trouble of the server, on a server of its own that keeps what it committed (faults D1 to D3, D5, D6).</summary>
public sealed class PostgresFaultTests : IAsyncLifetime
{
    private static readonly Duration Lease = Duration.FromMinutes(2);

    private PostgresServer _server = null!;
    private PostgresHome _home = null!;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _server = await PostgresServer.StartAsync(
            Cancellation,
            durable: true,
            settings: ["max_connections=12", "deadlock_timeout=100ms"]
        );
        _home = await PostgresHome.MakeAsync(_server, Cancellation);
    }

    public async ValueTask DisposeAsync()
    {
        if (_server is not null)
        {
            await _server.DisposeAsync();
        }
    }

    [Theory]
    [InlineData("fast")]
    [InlineData("immediate")]
    [InlineData("kill")]
    public async Task A_restart_of_the_server_is_waited_for_and_loses_nothing(string mode)
    {
        await using var store = await _home.OpenAsync(TimeProvider.System, Cancellation);
        await AddAsync(store, "before@example.com");
        var restart = Task.Run(async () =>
        {
            await Task.Delay(100);
            await _server.StopAsync(mode);
            await Task.Delay(500);
            await _server.StartAgainAsync(CancellationToken.None);
        });

        var added = new List<string>();
        var unsure = new List<string>();
        for (var i = 0; !restart.IsCompleted || i < 50; i++)
        {
            var email = $"s{i}@example.com";
            try
            {
                if (await AddAsync(store, email))
                {
                    added.Add(email);
                }
            }
            catch (StoreException e) when (e.Fault == StoreFault.Unsure)
            {
                Assert.True(e.MayPass);
                unsure.Add(email);
            }
        }

        await restart;
        // One writer: at most the one commit that was under way.
        Assert.InRange(unsure.Count, 0, 1);
        var kept = new List<string>();
        await foreach (var entry in store.Subscribers.ListAsync(Cancellation))
        {
            kept.Add(entry.Subscriber.Email);
        }

        Assert.Equal(["before@example.com", .. added], kept.Except(unsure, StringComparer.Ordinal));
    }

    [Fact]
    public async Task A_server_that_stays_away_is_told_of_and_met_again()
    {
        var options = _home.Options;
        options.BusyTimeout = TimeSpan.FromSeconds(1);
        await using var store = await TurfStore.OpenAsync(
            options,
            TimeProvider.System,
            Cancellation
        );
        await _server.StopAsync();

        var e = await Assert.ThrowsAsync<StoreException>(() =>
            store.Outbox.ClaimAsync("w", 1, Lease, Cancellation)
        );
        Assert.Equal((StoreFault.Away, true), (e.Fault, e.MayPass));
        Assert.Contains(
            $"PostgreSQL on 127.0.0.1:{_server.Port}, database {_home.Database} cannot be reached",
            e.Message,
            StringComparison.Ordinal
        );

        await _server.StartAgainAsync(Cancellation);
        Assert.Empty(await store.Outbox.ClaimAsync("w", 1, Lease, Cancellation));
    }

    // D4
    [Fact]
    public async Task A_commit_whose_answer_is_lost_is_told_as_unsure_and_may_be_repeated()
    {
        await using var wire = TcpProxy.Start(_server.Port);
        await using var store = await OpenOverAsync(wire);
        var message = await MessageAsync(store);
        // With its end, or READ COMMITTED would do.
        wire.CutAfter(sent => sent.Span.IndexOf("COMMIT\0"u8) >= 0);

        var e = await Assert.ThrowsAsync<StoreException>(() =>
            store.Outbox.EnqueueAsync([message], Cancellation)
        );

        Assert.Equal((StoreFault.Unsure, true), (e.Fault, e.MayPass));
        Assert.Contains("nobody can tell", e.Message, StringComparison.Ordinal);
        Assert.Equal(1, wire.Cuts);
        wire.CutAfter(null);
        // It was saved; the key makes the repetition harmless.
        Assert.Equal(0, await store.Outbox.EnqueueAsync([message], Cancellation));
        Assert.Equal(1, (await store.Outbox.CountAsync(Cancellation))[OutboxState.Queued]);
    }

    // D4
    [Fact]
    public async Task A_begin_and_an_end_whose_answers_are_lost_are_done_again_and_found_done()
    {
        await using var wire = TcpProxy.Start(_server.Port);
        await using var store = await OpenOverAsync(wire);
        await store.Outbox.EnqueueAsync([await MessageAsync(store)], Cancellation);
        var claimed = Assert.Single(await store.Outbox.ClaimAsync("w", 9, Lease, Cancellation));

        CutOnceAfter("SET state = 'Sending'");
        Assert.Equal(
            SendPermit.Granted,
            await store.Outbox.BeginSendingAsync(claimed, Lease, Cancellation)
        );
        Assert.Equal(1, wire.Cuts);

        CutOnceAfter("SET state = 'Sent'");
        Assert.True(
            await store.Outbox.CompleteAsync(claimed, OutboxOutcome.Sent("250 ok"), Cancellation)
        );
        Assert.Equal(2, wire.Cuts);
        Assert.Equal(1, (await store.Outbox.CountAsync(Cancellation))[OutboxState.Sent]);

        // Nor is a step that nobody broke done twice.
        Assert.Equal(
            SendPermit.Lost,
            await store.Outbox.BeginSendingAsync(claimed, Lease, Cancellation)
        );
        Assert.False(
            await store.Outbox.CompleteAsync(claimed, OutboxOutcome.Sent("250 ok"), Cancellation)
        );

        void CutOnceAfter(string sql)
        {
            var words = Encoding.UTF8.GetBytes(sql);
            var cut = 0;
            wire.CutAfter(sent =>
                sent.Span.IndexOf(words) >= 0 && Interlocked.Exchange(ref cut, 1) == 0
            );
        }
    }

    // D4
    [Fact]
    public async Task A_begin_whose_answer_is_lost_and_that_cannot_be_done_again_goes_back_into_the_queue()
    {
        await using var wire = TcpProxy.Start(_server.Port);
        await using var store = await OpenOverAsync(wire);
        await store.Outbox.EnqueueAsync([await MessageAsync(store)], Cancellation);
        var claimed = Assert.Single(await store.Outbox.ClaimAsync("w", 9, Lease, Cancellation));
        await using var other = await ConnectAsync();
        var locked = new TaskCompletionSource();
        var tries = 0;
        // The first is done, and its answer lost; before the second comes, somebody changes the subscriber.
        wire.CutAfter(sent =>
        {
            if (sent.Span.IndexOf("SET state = 'Sending'"u8) < 0)
            {
                return false;
            }

            if (++tries == 2)
            {
                using var command = new NpgsqlCommand(
                    "BEGIN; SELECT * FROM subscriber FOR UPDATE",
                    other
                );
                command.ExecuteNonQuery();
                locked.SetResult();
            }

            return tries == 1;
        });

        var begin = store.Outbox.BeginSendingAsync(claimed, Lease, Cancellation);
        await locked.Task.WaitAsync(TimeSpan.FromSeconds(30), Cancellation);
        await Task.WhenAny(begin, Task.Delay(1000, Cancellation));
        await ExecuteAsync(other, "ROLLBACK");

        var e = await Assert.ThrowsAsync<StoreException>(() => begin);
        Assert.Equal((StoreFault.Unsure, true), (e.Fault, e.MayPass));
        Assert.True(
            await store.Outbox.CompleteAsync(
                claimed,
                OutboxOutcome.Untried("", claimed.NotBefore),
                Cancellation
            )
        );
        Assert.Single(await store.Outbox.ClaimAsync("w", 9, Lease, Cancellation));
    }

    // D4
    [Fact]
    public async Task Nothing_is_begun_whose_window_closed_while_it_was_tried_again()
    {
        var clock = new FakeTimeProvider(TimeProvider.System.GetUtcNow().AddMinutes(1));
        await using var wire = TcpProxy.Start(_server.Port);
        await using var store = await OpenOverAsync(wire, clock);
        await store.Outbox.EnqueueAsync([await MessageAsync(store)], Cancellation);
        var claimed = Assert.Single(await store.Outbox.ClaimAsync("w", 9, Lease, Cancellation));
        wire.CutAfter(sent =>
        {
            if (wire.Cuts > 0 || sent.Span.IndexOf("SET state = 'Sending'"u8) < 0)
            {
                return false;
            }

            clock.SetUtcNow((claimed.NotAfter + Duration.FromSeconds(1)).ToDateTimeOffset());
            return true;
        });

        var e = await Assert.ThrowsAsync<StoreException>(() =>
            store.Outbox.BeginSendingAsync(claimed, Lease, Cancellation)
        );

        Assert.Equal(StoreFault.Unsure, e.Fault);
    }

    // D3
    [Fact]
    public async Task A_connection_that_is_killed_is_replaced()
    {
        await using var store = await _home.OpenAsync(TimeProvider.System, Cancellation);
        for (var i = 0; i < 5; i++)
        {
            await AddAsync(store, $"a{i}@example.com");
            await _home.Server.ExecuteAsync(
                _home.Database,
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'turfwatch'",
                Cancellation
            );
            Assert.True(await AddAsync(store, $"b{i}@example.com"));
        }
    }

    [Fact]
    public async Task A_row_that_another_program_holds_is_waited_for_and_then_told()
    {
        var options = _home.Options;
        options.BusyTimeout = TimeSpan.FromSeconds(1);
        await using var store = await TurfStore.OpenAsync(
            options,
            TimeProvider.System,
            Cancellation
        );
        await AddAsync(store, "a@example.com");
        var ann = (await store.Subscribers.FindAsync("a@example.com", Cancellation))!.Subscriber;
        await using var other = await ConnectAsync();
        await using (var holding = await other.BeginTransactionAsync(Cancellation))
        {
            await ExecuteAsync(other, "SELECT * FROM subscriber FOR UPDATE");
            var e = await Assert.ThrowsAsync<StoreException>(() => LeaveAsync());
            Assert.Equal((StoreFault.Busy, true), (e.Fault, e.MayPass));
            Assert.Contains("held rows for more than 1 s", e.Message, StringComparison.Ordinal);
        }

        Assert.True(await LeaveAsync());

        Task<bool> LeaveAsync() =>
            store.Subscribers.SetStatusAsync(ann.Id, SubscriberStatus.Left, null, Cancellation);
    }

    // D6
    [Fact]
    public async Task A_deadlock_is_run_again()
    {
        await using var store = await _home.OpenAsync(TimeProvider.System, Cancellation);
        await AddAsync(store, "a@example.com");
        var ann = (await store.Subscribers.FindAsync("a@example.com", Cancellation))!.Subscriber;
        var now = Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
        await store.Outbox.EnqueueAsync([Samples.Message(ann, now)], Cancellation);
        await using var other = await ConnectAsync();
        // The other holds the message and wants the subscriber; the leaving holds the subscriber and wants the message.
        await using var holding = await other.BeginTransactionAsync(Cancellation);
        await ExecuteAsync(other, "SELECT * FROM outbox FOR UPDATE");
        var leaving = Task.Run(() =>
            store.Subscribers.SetStatusAsync(ann.Id, SubscriberStatus.Left, null, Cancellation)
        );
        await Task.Delay(300, Cancellation);
        try
        {
            await ExecuteAsync(other, "SELECT * FROM subscriber FOR UPDATE");
        }
        catch (PostgresException e) when (e.SqlState == PostgresErrorCodes.DeadlockDetected) { }

        await holding.RollbackAsync(Cancellation);

        Assert.True(await leaving);
        Assert.Equal(1, (await store.Outbox.CountAsync(Cancellation))[OutboxState.Suppressed]);
    }

    // D6: 53300
    [Fact]
    public async Task A_server_without_a_connection_left_is_waited_for()
    {
        await using var store = await _home.OpenAsync(TimeProvider.System, Cancellation);
        // The pool's own connection is taken away first, so that the next write needs a new one.
        await _server.ExecuteAsync(
            _home.Database,
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'turfwatch'",
            Cancellation
        );
        var taken = new List<NpgsqlConnection>();
        try
        {
            while (true)
            {
                taken.Add(await ConnectAsync());
            }
        }
        catch (PostgresException e) when (e.SqlState == PostgresErrorCodes.TooManyConnections)
        {
            Assert.NotEmpty(taken);
        }

        var write = AddAsync(store, "a@example.com");
        await Task.Delay(500, Cancellation);
        Assert.False(write.IsCompleted);
        foreach (var connection in taken)
        {
            await connection.DisposeAsync();
        }

        Assert.True(await write);
    }

    // A worker that sleeps (SIGSTOP, a suspended machine) in a transaction must not hold its locks for ever.
    [Fact]
    public async Task Connections_are_cut_that_sleep_in_a_transaction_and_commands_have_an_end()
    {
        await using var source = TurfWatch.Store.Postgres.PostgresConnection.Source(_home.Options);
        await using var connection = await source.OpenConnectionAsync(Cancellation);
        Assert.Equal("30s", await ShowAsync("idle_in_transaction_session_timeout"));
        Assert.Equal("10s", await ShowAsync("lock_timeout"));
        Assert.InRange(connection.CommandTimeout, 1, 30);

        async Task<string> ShowAsync(string setting)
        {
            await using var command = new NpgsqlCommand($"SHOW {setting}", connection);
            return (string)(await command.ExecuteScalarAsync(Cancellation))!;
        }
    }

    [Theory]
    [InlineData("", 20, 100)]
    [InlineData(";Maximum Pool Size=7;max auto prepare=0", 7, 0)]
    public async Task The_pool_is_of_the_size_that_the_manual_says_and_what_runs_often_is_prepared(
        string given,
        int pool,
        int prepared
    )
    {
        var options = _home.Options;
        options.Postgres += given;
        await using var source = TurfWatch.Store.Postgres.PostgresConnection.Source(options);
        var used = new NpgsqlConnectionStringBuilder(source.ConnectionString);
        Assert.Equal((pool, prepared), (used.MaxPoolSize, used.MaxAutoPrepare));
        await using var connection = await source.OpenConnectionAsync(Cancellation);
        for (var i = 0; i < 10; i++)
        {
            await ExecuteAsync(connection, "SELECT 1 AS often");
        }

        await using var ask = new NpgsqlCommand(
            "SELECT COUNT(*) FROM pg_prepared_statements WHERE statement LIKE '%AS often'",
            connection
        );
        Assert.Equal(prepared > 0 ? 1L : 0L, await ask.ExecuteScalarAsync(Cancellation));
    }

    private Task<TurfStore> OpenOverAsync(TcpProxy wire, TimeProvider? clock = null)
    {
        var options = _home.Options;
        options.Postgres = options.Postgres.Replace(
            $"Port={_server.Port}",
            $"Port={wire.Port}",
            StringComparison.Ordinal
        );
        return TurfStore.OpenAsync(options, clock ?? TimeProvider.System, Cancellation);
    }

    private static async Task<OutboxMessage> MessageAsync(TurfStore store)
    {
        await AddAsync(store, "a@example.com");
        var ann = (await store.Subscribers.FindAsync("a@example.com", Cancellation))!.Subscriber;
        return Samples.Message(ann, Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow()));
    }

    private static async Task<bool> AddAsync(TurfStore store, string email) =>
        await store.Subscribers.AddAsync(email, Samples.Lawn(), Cancellation) is not null;

    private async Task<NpgsqlConnection> ConnectAsync()
    {
        var connection = new NpgsqlConnection(
            _server.ConnectionString(_home.Database) + ";Pooling=false"
        );
        await connection.OpenAsync(Cancellation);
        return connection;
    }

    private static async Task ExecuteAsync(NpgsqlConnection connection, string sql)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(Cancellation);
    }
}
