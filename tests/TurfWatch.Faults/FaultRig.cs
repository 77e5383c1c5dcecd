using System.Collections.Immutable;
using System.Globalization;
using Microsoft.Data.Sqlite;
using NodaTime;
using Npgsql;
using TurfWatch.Core;
using TurfWatch.Faults.Judging;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>
/// The ground for one fault: a database, a relay that notes what it takes on disk before it answers, subscribers
/// with a canary each, and processes of the program. Chance comes from one seed, which is printed.
/// </summary>
internal sealed partial class FaultRig : IAsyncDisposable
{
    /// <summary>TURFWATCH_FAULTS_SEED, or a fixed number.</summary>
    public static int Seed { get; } =
        int.TryParse(
            Environment.GetEnvironmentVariable("TURFWATCH_FAULTS_SEED"),
            CultureInfo.InvariantCulture,
            out var seed
        )
            ? seed
            : 20261129;

    private readonly ScratchFolder _folder = new();
    private readonly List<ServeProcess> _processes = [];
    private readonly List<Owed> _owed = [];
    private readonly Lock _gate = new();
    private Func<int, SmtpScript> _script = _ => SmtpScript.Healthy;
    private long _endOfFault = TimeProvider.System.GetTimestamp();
    private Duration? _recovery;

    private FaultRig(string fault)
    {
        Fault = fault;
        Relay = FaultySmtp.Start(n => Volatile.Read(ref _script)(n), LedgerPath);
    }

    /// <summary>Its number in docs/reliability.md and a few words.</summary>
    public string Fault { get; }

    /// <summary>A folder of the database, the ledger and whatever else.</summary>
    public string Folder => _folder.Path;

    /// <summary>Where the database is; a test may put it elsewhere before it is used.</summary>
    public StoreOptions StoreOptions { get; init; } = new();

    /// <summary>How the program reaches PostgreSQL, if not as the test does.</summary>
    public string? ServedBy { get; set; }

    public FaultySmtp Relay { get; }

    public IReadOnlyList<Owed> Owed => _owed;

    /// <summary>Words that must not be logged.</summary>
    public List<string> Secrets { get; } = [];

    public static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private string LedgerPath => Path.Combine(Folder, "ledger");

    public static FaultRig Start(string fault)
    {
        var rig = new FaultRig(fault);
        rig.StoreOptions.DataDirectory = rig.Folder;
        return rig;
    }

    /// <summary>How the relay treats connections from now on.</summary>
    public void RelayDoes(SmtpScript script) => RelayDoes(_ => script);

    /// <summary>The same, by the connection's number.</summary>
    public void RelayDoes(Func<int, SmtpScript> script) => Volatile.Write(ref _script, script);

    public Task<TurfStore> OpenAsync(TimeProvider? clock = null) =>
        TurfStore.OpenAsync(
            StoreOptions,
            clock ?? TimeProvider.System,
            Cancellation,
            StoreAccess.Beside
        );

    public ServeProcess Serve(params (string Key, string Value)[] settings) =>
        Serve(settings, ImmutableDictionary<string, string>.Empty);

    public ServeProcess Serve(
        IEnumerable<(string Key, string Value)> settings,
        IReadOnlyDictionary<string, string> environment,
        IReadOnlyList<string>? arguments = null,
        string? output = null
    )
    {
        var process = ServeProcess.Start(
            StoreOptions.DataDirectory,
            [
                ("Store:Postgres", ServedBy ?? StoreOptions.Postgres),
                .. ServeProcess.Relay(Relay.Port),
                // The weather's faults have tests of their own.
                ("Weather:Nws:Enabled", "false"),
                ("Weather:NasaPower:Enabled", "false"),
                ("Delivery:RelayPause", "00:00:01"),
                ("Delivery:BackoffBase", "00:00:01"),
                ("Delivery:BackoffCap", "00:00:02"),
                ("Jobs:MorningWait", "00:00:00"),
                ("Jobs:MorningSpread", "00:00:00"),
                .. settings,
            ],
            environment,
            arguments,
            output
        );
        lock (_gate)
        {
            _processes.Add(process);
        }

        return process;
    }

    /// <summary>The fault is over: recovery counts from here.</summary>
    public void FaultEnds() => _endOfFault = TimeProvider.System.GetTimestamp();

    /// <summary>Everything is settled: recovery ends here.</summary>
    public void Settled() =>
        _recovery = Duration.FromTimeSpan(TimeProvider.System.GetElapsedTime(_endOfFault));

    /// <summary>Waits until every owed message has come to an end.</summary>
    public async Task SettleAsync(ServeProcess service)
    {
        await service.UntilAsync(IsSettledAsync);
        Settled();
    }

    /// <summary>The leases of transactions are over, as after the 15 minutes and more that they last.</summary>
    public async Task LapseSendingAsync()
    {
        const string Lapse = "UPDATE outbox SET lease_until = 0 WHERE state = 'Sending'";
        await using System.Data.Common.DbConnection connection = StoreOptions.UsesPostgres
            ? new NpgsqlConnection(StoreOptions.Postgres)
            : new SqliteConnection(
                $"Data Source={Path.Combine(StoreOptions.DataDirectory, "turfwatch.db")};Pooling=False"
            );
        await connection.OpenAsync(Cancellation);
        await using var command = connection.CreateCommand();
        command.CommandText = Lapse;
        await command.ExecuteNonQueryAsync(Cancellation);
    }

    public async Task<bool> IsSettledAsync()
    {
        await using var store = await OpenAsync();
        var counts = await store.Outbox.CountAsync(Cancellation);
        return counts[OutboxState.Queued]
                + counts[OutboxState.Claimed]
                + counts[OutboxState.Sending]
                == 0
            && counts.Values.Sum() >= _owed.Count;
    }

    public async Task<int> CountAsync(OutboxState state)
    {
        await using var store = await OpenAsync();
        return (await store.Outbox.CountAsync(Cancellation))[state];
    }

    public async Task<IReadOnlyList<OutboxMessage>> RowsAsync()
    {
        await using var store = await OpenAsync();
        var rows = new List<OutboxMessage>();
        await foreach (var row in store.Outbox.ListAsync(Cancellation))
        {
            rows.Add(row);
        }

        return rows;
    }

    /// <summary>Weighs everything; the line goes into the report, and a broken promise fails the test.</summary>
    /// <param name="recoverWithin">The most that recovery may take.</param>
    /// <param name="triesAtMost">The most that a recipient may be named to the relay.</param>
    /// <param name="clockAhead">How far the program's clock was ahead of the relay's at an instant of the relay's.</param>
    public async Task<Verdict> JudgeAsync(
        Duration? recoverWithin = null,
        int triesAtMost = 3,
        Func<Instant, Duration>? clockAhead = null
    )
    {
        var verdict = await WeighAsync(recoverWithin, triesAtMost, clockAhead);
        Assert.True(verdict.Breaches.IsEmpty, $"{Fault}: {verdict}\n{Tail(Log)}");
        return verdict;
    }

    /// <summary>The same without failing.</summary>
    public async Task<Verdict> WeighAsync(
        Duration? recoverWithin = null,
        int triesAtMost = 3,
        Func<Instant, Duration>? clockAhead = null
    )
    {
        var verdict = Judge.Weigh(
            new()
            {
                Owed = _owed,
                Rows = await RowsAsync(),
                Ledger = LedgerLine.Read(LedgerPath),
                Log = Log,
                Secrets = [.. Secrets],
                Tries = Tries(),
                TriesAtMost = triesAtMost,
                Recovery = _recovery ?? Duration.Zero,
                RecoveryAtMost = recoverWithin ?? Duration.FromSeconds(60),
                ClockAhead = clockAhead ?? (_ => Duration.Zero),
            }
        );
        FaultReport.Write(Fault, Seed, verdict);
        return verdict;
    }

    /// <summary>All that the processes wrote.</summary>
    public string Log
    {
        get
        {
            lock (_gate)
            {
                return string.Concat(_processes.Select(p => p.Log));
            }
        }
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var process in _processes)
        {
            await process.DisposeAsync();
        }

        await Relay.DisposeAsync();
        _folder.Dispose();
    }

    public static Instant Now => Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());

    private Dictionary<string, int> Tries() =>
        Relay
            .Commands.Where(c => c.Contains(" RCPT TO:<", StringComparison.OrdinalIgnoreCase))
            .Select(c =>
                c[
                    (c.IndexOf('<', StringComparison.Ordinal) + 1)..c.IndexOf(
                        '>',
                        StringComparison.Ordinal
                    )
                ]
            )
            .GroupBy(r => r, StringComparer.Ordinal)
            .ToDictionary(g => g.Key, g => g.Count(), StringComparer.Ordinal);

    private static string Tail(string log) => log.Length > 6000 ? "…" + log[^6000..] : log;
}
