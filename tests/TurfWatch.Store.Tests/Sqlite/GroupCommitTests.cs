using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Store.Sqlite;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Store.Tests.Sqlite;

/// <summary>Writes that share a flush of the disk, yet succeed and fail each for itself.</summary>
public sealed class GroupCommitTests : IDisposable
{
    private readonly ScratchFolder _folder = new();
    private readonly SqliteConnection _connection;
    private readonly GroupCommit _writes;
    private StoreException? _fault;
    private int _transactions;
    private int _broken;

    public GroupCommitTests()
    {
        _connection = new($"Data Source={Path.Combine(_folder.Path, "g.db")};Pooling=False");
        _connection.Open();
        _connection.Execute("CREATE TABLE n (i INTEGER PRIMARY KEY)");
        _writes = new(
            () =>
            {
                _transactions++;
                return _connection.BeginTransaction(deferred: false);
            },
            _ => _fault,
            () => _broken++
        );
    }

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _connection.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task Writes_that_wait_at_once_share_a_transaction()
    {
        await WhileOneIsUnderWayAsync(() => [.. Enumerable.Range(1, 50).Select(AddAsync)]);

        Assert.Equal(2, _transactions);
        Assert.Equal(51, Count());
    }

    [Fact]
    public async Task No_more_than_64_do()
    {
        await WhileOneIsUnderWayAsync(() => [.. Enumerable.Range(1, 130).Select(AddAsync)]);

        Assert.Equal(1 + 3, _transactions);
        Assert.Equal(131, Count());
    }

    [Fact]
    public async Task One_alone_waits_for_no_other_and_does_not_hold_its_caller()
    {
        using var mayGoOn = new ManualResetEventSlim();
        var write = _writes.WriteAsync(
            _ => mayGoOn.Wait(TimeSpan.FromSeconds(60), Cancellation),
            Cancellation
        );

        Assert.False(write.IsCompleted);
        mayGoOn.Set();
        Assert.True(await write);
        Assert.Equal(1, _transactions);
    }

    [Fact]
    public async Task One_that_fails_is_undone_alone_and_told_why()
    {
        Task<int>[] tasks = [];
        await WhileOneIsUnderWayAsync(() =>
            tasks = [
                AddAsync(1),
                _writes.WriteAsync(
                    t =>
                    {
                        Add(t, 2);
                        return Add(t, 1); // is there already
                    },
                    Cancellation
                ),
                _writes.WriteAsync<int>(
                    t =>
                    {
                        Add(t, 3);
                        throw new InvalidDataException("no");
                    },
                    Cancellation
                ),
                AddAsync(4),
            ]
        );

        Assert.Equal(1, await tasks[0]);
        await Assert.ThrowsAsync<SqliteException>(() => tasks[1]);
        await Assert.ThrowsAsync<InvalidDataException>(() => tasks[2]);
        Assert.Equal(4, await tasks[3]);
        Assert.Equal([0, 1, 4], _connection.Query<long>("SELECT i FROM n ORDER BY i"));
        Assert.Equal((2, 0), (_transactions, _broken));
    }

    [Fact]
    public async Task A_failure_of_the_disk_fails_all_that_share_it_and_the_next_begins_anew()
    {
        Task<int>[] tasks = [];
        await WhileOneIsUnderWayAsync(() =>
        {
            _fault = new(StoreFault.DiskFull, "full");
            return tasks = [AddAsync(1), AddAsync(0), AddAsync(2)]; // the second meets the fault
        });

        foreach (var task in tasks)
        {
            var e = await Assert.ThrowsAsync<StoreException>(() => task);
            Assert.Equal(StoreFault.DiskFull, e.Fault);
        }

        Assert.Equal((1, 1L), (_broken, Count()));
        _fault = null;
        Assert.Equal(7, await AddAsync(7));
    }

    [Fact]
    public async Task What_is_done_between_transactions_is_in_none_and_keeps_its_place()
    {
        var seen = -1L;
        await WhileOneIsUnderWayAsync(() =>
            [
                AddAsync(1),
                _writes.BetweenAsync(
                    () =>
                    {
                        seen = Count();
                        _connection.Execute("PRAGMA wal_checkpoint"); // as the store does after erasing
                        return 0;
                    },
                    Cancellation
                ),
                AddAsync(2),
            ]
        );

        Assert.Equal(2, seen);
        Assert.Equal((3, 3L), (_transactions, Count()));
    }

    [Fact]
    public async Task Nobody_is_told_before_what_he_wrote_is_on_the_disk()
    {
        Task<int>[] tasks = [];
        var early = 0;
        await WhileOneIsUnderWayAsync(() =>
            tasks = [
                AddAsync(1),
                AddAsync(2),
                _writes.WriteAsync(_ => early = tasks.Count(t => t.IsCompleted), Cancellation),
            ]
        );

        Assert.Equal(0, early);
    }

    [Fact]
    public async Task One_that_is_cancelled_while_it_waits_is_never_done()
    {
        using var stop = new CancellationTokenSource();
        Task<int> cancelled = Task.FromResult(0);
        await WhileOneIsUnderWayAsync(() =>
        {
            cancelled = _writes.WriteAsync(t => Add(t, 5), stop.Token);
            stop.Cancel();
            return [AddAsync(1)];
        });

        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => cancelled);
        Assert.Equal(2, Count());
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() =>
            _writes.WriteAsync(t => Add(t, 6), stop.Token)
        );
    }

    /// <summary>Holds a first write open until the others are waiting, then lets all go and waits for their end, good or bad.</summary>
    private async Task WhileOneIsUnderWayAsync(Func<Task<int>[]> others)
    {
        using var begun = new SemaphoreSlim(0);
        using var goOn = new SemaphoreSlim(0);
        var first = Task.Run(
            () =>
                _writes.WriteAsync(
                    t =>
                    {
                        begun.Release();
                        goOn.Wait(Cancellation);
                        return Add(t, 0);
                    },
                    Cancellation
                ),
            Cancellation
        );
        await begun.WaitAsync(Cancellation);
        var tasks = others();
        goOn.Release();
        await first;
        await Task.WhenAny(Task.WhenAll(tasks), Task.Delay(Timeout.Infinite, Cancellation));
    }

    private Task<int> AddAsync(int i) => _writes.WriteAsync(t => Add(t, i), Cancellation);

    private static int Add(DbTransaction t, int i)
    {
        t.Connection!.Execute("INSERT INTO n VALUES (@i)", new { i }, t);
        return i;
    }

    private long Count() => _connection.ExecuteScalar<long>("SELECT count(*) FROM n");
}
