using System.Data.Common;
using NodaTime;
using TurfWatch.Core;

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

    /// <summary>
    /// Runs a statement that is run for every message, within a transaction of this database; its arguments come under the same
    /// names in the same order each time. Returns how many rows it changed.
    /// </summary>
    int Run(
        DbTransaction t,
        string sql,
        params ReadOnlySpan<(string Name, object? Value)> arguments
    );

    /// <summary>
    /// Puts rows into the outbox. One whose (subscriber, kind, key) is there already, or whose subscriber may not receive it,
    /// is left out. Returns how many rows were made.
    /// </summary>
    int Add(DbTransaction t, IReadOnlyList<MessageRow> rows);

    /// <summary>
    /// Marks a claimed message as sending, by one statement with others that wait at this time. False when that cannot be: then
    /// it is to be done alone, in a transaction of its own, which also finds out what is against it.
    /// </summary>
    Task<bool> TryBeginTogetherAsync(OutboxMessage claimed, Duration lease);

    /// <summary>Writes that the relay took a message, as <see cref="TryBeginTogetherAsync"/>.</summary>
    Task<bool> TryEndTogetherAsync(OutboxMessage sent, string reply);

    /// <summary>Connections for a schedule that several workers share, apart from those of the store; null when there is one worker.</summary>
    DbDataSource? OpenScheduleConnections();

    /// <summary>Leaves nothing of what was deleted in the files, as far as that is ours to do.</summary>
    Task ScrubAsync(CancellationToken cancellation);

    Task<StoreReport> InspectAsync(CancellationToken cancellation);
}
