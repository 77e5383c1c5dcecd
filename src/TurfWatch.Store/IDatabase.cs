using System.Data.Common;
using NodaTime;

namespace TurfWatch.Store;

/// <summary>
/// What the classes of the store need of a database. Their SQL is the same for every kind; what is not stands in
/// <see cref="Dialect"/>.
/// </summary>
internal interface IDatabase : IAsyncDisposable
{
    /// <summary>Now, by the clock of the program: windows, due times and ages are told by it.</summary>
    Instant Now { get; }

    Dialect Dialect { get; }

    /// <summary>Where it is, for messages.</summary>
    string Where { get; }

    /// <summary>No other process works on the database, so what is leased in it is leased by the dead.</summary>
    bool OwnedAlone { get; }

    /// <exception cref="StoreException">There is not enough room to save what would become of a message.</exception>
    void RequireRoom();

    /// <summary>
    /// Does the work in one transaction: when this returns, it is on the disk. The work may be run again after it was rolled
    /// back, so it must change nothing but the database.
    /// </summary>
    Task<T> WriteAsync<T>(Func<DbTransaction, T> work, CancellationToken cancellation);

    Task WriteAsync(Action<DbTransaction> work, CancellationToken cancellation) =>
        WriteAsync<object?>(
            t =>
            {
                work(t);
                return null;
            },
            cancellation
        );

    Task<T> ReadAsync<T>(Func<DbConnection, T> work, CancellationToken cancellation);

    /// <summary>Reads by several queries that all see the same moment.</summary>
    Task<T> ReadMomentAsync<T>(Func<DbTransaction, T> work, CancellationToken cancellation);

    /// <summary>Connections for a schedule that several workers share, apart from those of the store; null when there is one worker.</summary>
    DbDataSource? OpenScheduleConnections();

    /// <summary>Leaves nothing of what was deleted in the files, as far as that is ours to do.</summary>
    Task ScrubAsync(CancellationToken cancellation);

    Task<StoreReport> InspectAsync(CancellationToken cancellation);
}
