using NodaTime;
using TurfWatch.Core;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>PostgreSQL restarts, dies, loses answers or is out of reach, under two workers that send (faults D1 to D6).</summary>
public sealed class PostgresFaultTests : IAsyncLifetime
{
    private const int Count = 60;

    private static readonly MessageKind[] Mixed =
    [
        MessageKind.Morning,
        MessageKind.Alert,
        MessageKind.Digest,
    ];

    private PostgresServer _server = null!;

    public async ValueTask InitializeAsync() =>
        _server = await PostgresServer.StartAsync(FaultRig.Cancellation, durable: true);

    public ValueTask DisposeAsync() => _server.DisposeAsync();

    [Theory]
    [InlineData("D1 PostgreSQL restarted fast", "fast", 0)]
    [InlineData("D2 PostgreSQL stopped hard, 20 s away", "immediate", 20, Explicit = true)]
    [InlineData("D3 postmaster killed with SIGKILL", "kill", 2)]
    public async Task The_server_goes_and_comes_back(string fault, string mode, int secondsAway)
    {
        await using var rig = await StartAsync(fault, _server.Port);
        var workers = new[] { rig.Serve(), rig.Serve() };
        await UntilAllWorkAsync(rig, workers);

        await _server.StopAsync(mode);
        var taken = rig.Relay.TakenCount;
        await Task.Delay(TimeSpan.FromSeconds(secondsAway + 1), FaultRig.Cancellation);
        // What was under way at the two workers' two connections may end; nothing is begun while its end could not be written down.
        Assert.InRange(rig.Relay.TakenCount, taken, taken + 4);
        await _server.StartAgainAsync(FaultRig.Cancellation);
        rig.FaultEnds();

        await SettleAsync(rig, workers);
        Assert.Equal(Count, (await rig.JudgeAsync(Duration.FromSeconds(45))).Sent);
    }

    [Fact]
    public async Task A_backend_is_killed()
    {
        await using var rig = await StartAsync("D3 a backend killed with SIGKILL", _server.Port);
        var workers = new[] { rig.Serve(), rig.Serve() };
        await UntilAllWorkAsync(rig, workers);

        var pid = await _server.ExecuteAsync(
            "postgres",
            "SELECT pid FROM pg_stat_activity WHERE datname LIKE 'd%' LIMIT 1",
            FaultRig.Cancellation
        );
        await PostgresServer.SignalAsync("KILL", (int)pid!);
        rig.FaultEnds();

        await SettleAsync(rig, workers);
        Assert.Equal(Count, (await rig.JudgeAsync(Duration.FromSeconds(45))).Sent);
    }

    [Fact]
    public async Task Answers_of_the_database_are_lost()
    {
        await using var wire = TcpProxy.Start(_server.Port);
        await using var rig = await StartAsync("D4 answers lost, to COMMIT and others", wire.Port);
        var chance = new Random(FaultRig.Seed);
        var worker = rig.Serve();
        await worker.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 3));

        wire.CutAfter(bytes =>
        {
            lock (chance)
            {
                // Begins and ends of messages go without a COMMIT that could be seen.
                return chance.Next(bytes.Span.IndexOf("COMMIT\0"u8) >= 0 ? 6 : 25) == 0;
            }
        });
        await worker.UntilAsync(() => Task.FromResult(wire.Cuts >= 12));
        wire.CutAfter(null);
        rig.FaultEnds();

        await SettleAsync(rig, worker);
        // Claims whose answer was lost come back when their lease is over.
        Assert.Equal(Count, (await rig.JudgeAsync(Duration.FromSeconds(75))).Sent);
    }

    [Fact(Explicit = true)]
    public async Task The_database_falls_silent()
    {
        await using var wire = TcpProxy.Start(_server.Port);
        await using var rig = await StartAsync(
            "D5 one of two workers cut off in silence for 60 s",
            wire.Port
        );
        var cutOff = rig.Serve();
        await cutOff.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 3));
        wire.Dead = true;
        rig.ServedBy = rig.StoreOptions.Postgres;
        var other = rig.Serve();
        await Task.Delay(TimeSpan.FromSeconds(60), FaultRig.Cancellation);
        wire.Dead = false;
        rig.FaultEnds();
        await SettleAsync(rig, cutOff, other);
        Assert.Equal(Count, (await rig.JudgeAsync(Duration.FromSeconds(75))).Sent);
    }

    [Fact]
    public async Task All_connections_are_taken()
    {
        await using var small = await PostgresServer.StartAsync(
            FaultRig.Cancellation,
            durable: true,
            password: null,
            settings: ["max_connections=12", "superuser_reserved_connections=0"]
        );
        await using var rig = await StartAsync("D6 53300 too many connections, 8 s", small);
        var hogs = new List<Npgsql.NpgsqlConnection>();
        try
        {
            while (await HogAsync(small) is { } hog)
            {
                hogs.Add(hog);
            }

            Assert.InRange(hogs.Count, 5, 12);
            // The start itself needs a connection: it waits for one.
            var worker = rig.Serve(("Store:BusyTimeout", "00:00:30"));
            await Task.Delay(TimeSpan.FromSeconds(8), FaultRig.Cancellation);
            Assert.Equal(0, rig.Relay.TakenCount);
            foreach (var hog in hogs)
            {
                await hog.DisposeAsync();
            }

            hogs.Clear();
            rig.FaultEnds();
            await SettleAsync(rig, worker);
            Assert.Equal(Count, (await rig.JudgeAsync()).Sent);
        }
        finally
        {
            foreach (var hog in hogs)
            {
                await hog.DisposeAsync();
            }
        }
    }

    [Fact(Explicit = true)]
    public async Task The_schedule_is_held_for_too_long_by_another_program()
    {
        await using var rig = await StartAsync(
            "D5 the schedule held by another program",
            _server.Port
        );
        var first = rig.Serve();
        await SettleAsync(rig, first);
        await using var other = new Npgsql.NpgsqlConnection(
            rig.StoreOptions.Postgres + ";Pooling=false"
        );
        await other.OpenAsync(FaultRig.Cancellation);
        await using var hold = await other.BeginTransactionAsync(FaultRig.Cancellation);
        await using var locks = other.CreateCommand();
        locks.CommandText =
            "SELECT 1 FROM qrtz_locks WHERE lock_name = 'TRIGGER_ACCESS' FOR UPDATE";
        await locks.ExecuteNonQueryAsync(FaultRig.Cancellation);

        // It cannot start, says so in a sentence, and leaves it to whatever starts it to try again.
        var refused = rig.Serve();
        Assert.Equal(1, await refused.ExitAsync());
        Assert.Contains("schedule", refused.Log, StringComparison.Ordinal);
        Assert.DoesNotContain("Unhandled exception", refused.Log, StringComparison.Ordinal);
        await rig.JudgeAsync();
    }

    private static async Task<Npgsql.NpgsqlConnection?> HogAsync(PostgresServer server)
    {
        var hog = new Npgsql.NpgsqlConnection(
            server.ConnectionString("postgres") + ";Pooling=false"
        );
        try
        {
            await hog.OpenAsync(FaultRig.Cancellation);
            return hog;
        }
        catch (Npgsql.PostgresException e) when (e.SqlState == "53300")
        {
            await hog.DisposeAsync();
            return null;
        }
    }

    // A worker that does not find the server at its start ends, for its supervisor to start it again: another matter.
    private static async Task UntilAllWorkAsync(FaultRig rig, ServeProcess[] workers)
    {
        foreach (var worker in workers)
        {
            await worker.UntilReadySaysAsync(t => t.StartsWith("ready", StringComparison.Ordinal));
        }

        await workers[0].UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 5));
        Assert.InRange(rig.Relay.TakenCount, 5, Count - 10);
    }

    private Task<FaultRig> StartAsync(string fault, int port) => StartAsync(fault, _server, port);

    private static async Task<FaultRig> StartAsync(
        string fault,
        PostgresServer server,
        int? port = null
    )
    {
        var rig = FaultRig.Start(fault);
        var database = await server.NewDatabaseAsync(FaultRig.Cancellation);
        rig.StoreOptions.Postgres = server.ConnectionString(database);
        await rig.QueueAsync(Count, Mixed);
        // The test's own way to the database stays open; the program goes by the given port.
        rig.ServedBy = rig.StoreOptions.Postgres.Replace(
            $"Port={server.Port}",
            $"Port={port ?? server.Port}",
            StringComparison.Ordinal
        );
        rig.RelayDoes(
            SmtpScript.Healthy.With(
                SmtpStep.Dot,
                SmtpFault.Late(TimeSpan.FromMilliseconds(200)) with
                {
                    TakeFirst = true,
                }
            )
        );
        return rig;
    }

    private static async Task SettleAsync(FaultRig rig, params ServeProcess[] workers)
    {
        await rig.SettleAsync(workers[0]);
        foreach (var worker in workers)
        {
            await worker.StopAsync();
        }
    }
}
