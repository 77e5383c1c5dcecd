using System.Data.Common;
using Microsoft.Data.Sqlite;

namespace TurfWatch.Store.Sqlite;

/// <summary>A write that waits for its turn.</summary>
internal abstract class PendingWrite
{
    private const int Waits = 0;
    private const int Taken = 1;
    private const int Cancelled = 2;

    private int _state;

    /// <summary>It shares no transaction, and has none: a thing to do to the database between two of them.</summary>
    public bool Alone { get; init; }

    /// <summary>From here on it is done, whether or not its caller still wants it; false when it was cancelled before.</summary>
    public bool Take() => Interlocked.CompareExchange(ref _state, Taken, Waits) == Waits;

    /// <summary>Does the work and keeps its result.</summary>
    public abstract void Run(SqliteTransaction transaction);

    /// <summary>Tells the caller, now that it is on the disk.</summary>
    public abstract void Saved();

    /// <summary>Tells the caller why nothing was written.</summary>
    public abstract void Failed(Exception e);

    protected bool Cancel() => Interlocked.CompareExchange(ref _state, Cancelled, Waits) == Waits;
}

internal sealed class PendingWrite<T> : PendingWrite
{
    private readonly TaskCompletionSource<T> _told = new(
        TaskCreationOptions.RunContinuationsAsynchronously
    );
    private readonly Func<DbTransaction, T> _work;
    private readonly CancellationTokenRegistration _cancelling;
    private T _result = default!;

    public PendingWrite(Func<DbTransaction, T> work, CancellationToken cancellation)
    {
        _work = work;
        _cancelling = cancellation.UnsafeRegister(
            (me, token) =>
            {
                var write = (PendingWrite<T>)me!;
                if (write.Cancel())
                {
                    write._told.TrySetCanceled(token);
                }
            },
            this
        );
    }

    public Task<T> Task => _told.Task;

    public override void Run(SqliteTransaction transaction) => _result = _work(transaction);

    public override void Saved()
    {
        _cancelling.Unregister();
        _told.TrySetResult(_result);
    }

    public override void Failed(Exception e)
    {
        _cancelling.Unregister();
        _told.TrySetException(e);
    }
}
