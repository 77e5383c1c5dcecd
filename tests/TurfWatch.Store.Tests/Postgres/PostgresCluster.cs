using Npgsql;
using TurfWatch.Store.Tests.Postgres;
using TurfWatch.Testing;

[assembly: AssemblyFixture(typeof(PostgresCluster))]

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>One server for all tests of the assembly, started by the first that needs it; each test gets a database of its own.</summary>
public sealed class PostgresCluster : IAsyncDisposable
{
    private readonly SemaphoreSlim _turn = new(1, 1);
    private PostgresServer? _server;
    private string _template = "";

    /// <summary>A new database with an up-to-date, empty schema.</summary>
    internal async Task<PostgresHome> NewHomeAsync(CancellationToken cancellation)
    {
        await _turn.WaitAsync(cancellation);
        try
        {
            if (_server is null)
            {
                _server = await PostgresServer.StartAsync(cancellation);
                await using var first = await PostgresHome.MakeAsync(_server, cancellation);
                await (await first.OpenAsync(TimeProvider.System, cancellation)).DisposeAsync();
                _template = await _server.NewDatabaseAsync(cancellation, first.Database);
            }

            return await PostgresHome.MakeAsync(_server, cancellation, _template);
        }
        finally
        {
            _turn.Release();
        }
    }

    public async ValueTask DisposeAsync()
    {
        _turn.Dispose();
        if (_server is not null)
        {
            await _server.DisposeAsync();
        }
    }
}

/// <summary>A database of one test, and the folder beside it.</summary>
internal sealed class PostgresHome : IAsyncDisposable
{
    private readonly ScratchFolder _folder = new();

    private PostgresHome(PostgresServer server, string database) =>
        (Server, Database) = (server, database);

    public PostgresServer Server { get; }

    public string Database { get; }

    public StoreOptions Options =>
        new()
        {
            DataDirectory = _folder.Path,
            Postgres = Server.ConnectionString(Database),
            BusyTimeout = TimeSpan.FromSeconds(10),
        };

    public static async Task<PostgresHome> MakeAsync(
        PostgresServer server,
        CancellationToken cancellation,
        string template = "template0"
    ) => new(server, await server.NewDatabaseAsync(cancellation, template));

    public Task<TurfStore> OpenAsync(
        TimeProvider time,
        CancellationToken cancellation,
        StoreAccess access = StoreAccess.Own
    ) => TurfStore.OpenAsync(Options, time, cancellation, access);

    /// <summary>With leases told by the same clock as all else: for tests whose clock stands still.</summary>
    public Task<TurfStore> OpenWithOneClockAsync(TimeProvider time, CancellationToken cancellation)
    {
        var options = Options;
        options.LeasesByProgramClock = true;
        return TurfStore.OpenAsync(options, time, cancellation);
    }

    public async Task<T> AskAsync<T>(string sql, CancellationToken cancellation) =>
        (T)(await Server.ExecuteAsync(Database, sql, cancellation))!;

    public async ValueTask DisposeAsync()
    {
        await Server.DropDatabaseAsync(Database, CancellationToken.None);
        _folder.Dispose();
    }
}
