using System.Data.Common;
using Microsoft.Data.Sqlite;

namespace TurfWatch.Store.Sqlite;

/// <summary>
/// Writes that wait at the same time share one transaction, and so one flush of the disk. Each has a savepoint of its own: one
/// that fails is undone alone. Nobody is told anything before the transaction they share is on the disk. A write that comes
/// while none is under way is done when the thread pool comes to it: behind what is ready to run, which may write too.
/// </summary>
/// <param name="begin">Begins a transaction.</param>
/// <param name="describe">The fault of the surroundings (disk, lock) that an error of SQLite tells of; null when it is our own mistake.</param>
/// <param name="broken">Told that the connection may be unusable.</param>
internal sealed class GroupCommit(
    Func<SqliteTransaction> begin,
    Func<SqliteException, StoreException?> describe,
    Action broken
)
{
    /// <summary>So many at most share a transaction, so that the first of them need not wait long.</summary>
    private const int Most = 64;

    private readonly Lock _gate = new();
    private readonly Queue<PendingWrite> _waiting = [];
    private readonly SqliteStatements _savepoints = new();
    private bool _working;

    public Task<T> WriteAsync<T>(Func<DbTransaction, T> work, CancellationToken cancellation) =>
        QueueAsync(work, alone: false, cancellation);

    /// <summary>Does something between two transactions, for example a checkpoint.</summary>
    public Task<T> BetweenAsync<T>(Func<T> work, CancellationToken cancellation) =>
        QueueAsync(_ => work(), alone: true, cancellation);

    private Task<T> QueueAsync<T>(
        Func<DbTransaction, T> work,
        bool alone,
        CancellationToken cancellation
    )
    {
        if (cancellation.IsCancellationRequested)
        {
            return Task.FromCanceled<T>(cancellation);
        }

        var write = new PendingWrite<T>(work, cancellation) { Alone = alone };
        lock (_gate)
        {
            _waiting.Enqueue(write);
            if (_working)
            {
                return write.Task;
            }

            _working = true;
        }

        WriteSoon();
        return write.Task;
    }

    private void WriteSoon() =>
        ThreadPool.UnsafeQueueUserWorkItem(static me => me.WriteGroup(), this, preferLocal: false);

    private void WriteGroup()
    {
        var group = new List<PendingWrite>();
        lock (_gate)
        {
            while (
                group.Count < Most
                && _waiting.TryPeek(out var write)
                && (group.Count == 0 || !(write.Alone || group[0].Alone))
            )
            {
                _waiting.Dequeue();
                if (write.Take())
                {
                    group.Add(write);
                }
            }
        }

        Write(group);
        lock (_gate)
        {
            if (_waiting.Count == 0)
            {
                _working = false;
                return;
            }
        }

        WriteSoon();
    }

    private void Write(List<PendingWrite> group)
    {
        var failed = new Dictionary<PendingWrite, Exception>();
        try
        {
            if (group.Count > 0)
            {
                Commit(group, failed);
            }
        }
        catch (Exception e)
        {
            var told = e is SqliteException s ? describe(s) ?? e : e;
            if (told is StoreException)
            {
                broken();
            }

            foreach (var write in group)
            {
                write.Failed(told);
            }

            return;
        }

        foreach (var write in group)
        {
            if (failed.TryGetValue(write, out var e))
            {
                write.Failed(e);
            }
            else
            {
                write.Saved();
            }
        }
    }

    private void Commit(List<PendingWrite> group, Dictionary<PendingWrite, Exception> failed)
    {
        if (group is [{ Alone: true } between])
        {
            between.Run(null!);
            return;
        }

        using var transaction = begin();
        if (group is [var only])
        {
            only.Run(transaction);
        }
        else
        {
            foreach (var write in group)
            {
                _savepoints.Run(transaction, "SAVEPOINT one");
                try
                {
                    write.Run(transaction);
                }
                catch (Exception e) when (e is not SqliteException s || describe(s) is null)
                {
                    _savepoints.Run(transaction, "ROLLBACK TO one");
                    failed.Add(write, e);
                }

                _savepoints.Run(transaction, "RELEASE one");
            }
        }

        transaction.Commit();
    }
}
