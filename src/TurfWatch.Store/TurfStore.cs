using System.Data.Common;
using TurfWatch.Store.Postgres;
using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store;

/// <summary>Who opens the store.</summary>
public enum StoreAccess
{
    /// <summary>The service: with SQLite it alone owns the data folder until it closes; in PostgreSQL it is one of several workers.</summary>
    Own,

    /// <summary>A short operator command: it works beside a running service, one transaction at a time.</summary>
    Beside,
}

/// <summary>All that TurfWatch keeps: one SQLite file in <see cref="StoreOptions.DataDirectory"/>, or a PostgreSQL database.</summary>
public sealed class TurfStore : IAsyncDisposable
{
    private readonly IDatabase _database;

    private TurfStore(IDatabase database)
    {
        _database = database;
        Subscribers = new(database);
        Journal = new(database);
        Cells = new(database);
        WeatherHours = new(database);
        SiteStates = new(database);
        Climates = new(database);
        PastSoils = new(database);
        YearDays = new(database);
        Outbox = new(database);
        SeasonPlans = new(database, Outbox);
        Lawns = new(database);
        Joins = new(database, Outbox);
        Deeds = new(database, Outbox);
        Inbound = new(database);
        Suppressions = new(database);
        Bounces = new(database);
        Dossiers = new(database);
        Leases = new(database);
        Fetches = new(database);
        LinkKeyIds = new(database);
    }

    public Subscribers Subscribers { get; }

    public Journal Journal { get; }

    public Cells Cells { get; }

    public WeatherHours WeatherHours { get; }

    public SiteStates SiteStates { get; }

    public Climates Climates { get; }

    public PastSoils PastSoils { get; }

    public YearDays YearDays { get; }

    public Outbox Outbox { get; }

    public SeasonPlans SeasonPlans { get; }

    public Lawns Lawns { get; }

    public Joins Joins { get; }

    public Deeds Deeds { get; }

    public Inbound Inbound { get; }

    public Suppressions Suppressions { get; }

    public Bounces Bounces { get; }

    public Dossiers Dossiers { get; }

    public Leases Leases { get; }

    public Fetches Fetches { get; }

    public LinkKeyIds LinkKeyIds { get; }

    /// <summary>Where the data are, for messages: the file, or server and database.</summary>
    public string Where => _database.Where;

    /// <summary>Opens the store, making the folder and the database when they are not there.</summary>
    /// <param name="options">Where.</param>
    /// <param name="time">The program's clock.</param>
    /// <param name="cancellation">Stops the opening.</param>
    /// <param name="access">Service or short command.</param>
    /// <exception cref="StoreException">The folder is in use, or the database cannot be used; the message says why and what to do.</exception>
    public static async Task<TurfStore> OpenAsync(
        StoreOptions options,
        TimeProvider time,
        CancellationToken cancellation,
        StoreAccess access = StoreAccess.Own
    )
    {
        MakeFolder(options);
        IDatabase database = options.UsesPostgres
            ? await PostgresDatabase.OpenAsync(options, time, access, cancellation)
            : SqliteDatabase.Open(options, time, access);
        try
        {
            var store = new TurfStore(database);
            await store.Subscribers.RequireKnownZonesAsync(cancellation);
            if (database.OwnedAlone)
            {
                // Whoever held a lease is gone: no need to wait until it lapses.
                await store.Outbox.RecoverAsync(cancellation);
            }

            return store;
        }
        catch
        {
            await database.DisposeAsync();
            throw;
        }
    }

    /// <summary>How the store is, for <c>turfwatch check</c>.</summary>
    public Task<StoreReport> InspectAsync(CancellationToken cancellation) =>
        _database.InspectAsync(cancellation);

    /// <summary>Connections for a schedule that the workers of this database share; null with SQLite, which has one worker.</summary>
    public DbDataSource? OpenScheduleConnections() => _database.OpenScheduleConnections();

    public ValueTask DisposeAsync() => _database.DisposeAsync();

    internal static void MakeFolder(StoreOptions options)
    {
        try
        {
            if (OperatingSystem.IsWindows())
            {
                Directory.CreateDirectory(options.DataDirectory);
                return;
            }

            // Addresses are inside: nobody else's business.
            Directory.CreateDirectory(
                options.DataDirectory,
                UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute
            );
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                $"The folder {options.DataDirectory} cannot be made ({e.Message}). Set Store:DataDirectory to a folder that TurfWatch may write.",
                e
            );
        }
    }
}
