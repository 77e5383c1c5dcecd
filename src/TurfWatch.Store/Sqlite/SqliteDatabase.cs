using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Sqlite;

/// <summary>
/// One SQLite file: one writer connection that all writes queue for, and readers beside it (WAL). A write
/// is one BEGIN IMMEDIATE … COMMIT with synchronous=FULL: when it returns, it is on the disk.
/// </summary>
internal sealed class SqliteDatabase : IDatabase
{
    // One writer at a time, on this machine: nothing needs a lock of its own, and there is only one clock.
    internal static readonly Dialect Sqlite = new(
        LeaseNow: "@now",
        ForUpdate: "",
        ForShare: "",
        SkipLocked: "",
        TakeSweep: "SELECT TRUE",
        TakeKeys: "SELECT TRUE"
    );

    private static readonly string AddSql = $"""
        INSERT INTO outbox (subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before,
            not_after, state, next_at, last_reply, created_at, settled_at)
        SELECT @subscriber, @kind, @key, @recipient, @sender, @messageId, @notBefore,
            @notAfter, @state, @notBefore, @reason, @now, @settled
        WHERE {OutboxPolicy.MayReceive("@kind", "@subscriber")}
        ON CONFLICT (subscriber_id, kind, key) DO NOTHING
        """;

    private const string AddContentSql =
        "INSERT INTO outbox_content (outbox_id, content) VALUES (last_insert_rowid(), @content)";

    private static readonly Task<bool> NotTogether = Task.FromResult(false);

    private const int ScrubAttempts = 20;

    private static readonly TimeSpan ScrubPause = TimeSpan.FromMilliseconds(50);

    private readonly StoreOptions _options;
    private readonly TimeProvider _time;
    private readonly DirectoryLock? _lock;
    private readonly GroupCommit _writes;
    private readonly SqliteStatements _statements = new();
    private SqliteConnection? _writer;

    private SqliteDatabase(
        StoreOptions options,
        TimeProvider time,
        DirectoryLock? held,
        bool ownedAlone
    )
    {
        (_options, _time, _lock, OwnedAlone) = (options, time, held, ownedAlone);
        _writes = new(
            () => Writer().BeginTransaction(deferred: false),
            e => SqliteFaults.Describe(e, options),
            DropWriter
        );
    }

    public Instant Now => Instant.FromDateTimeOffset(_time.GetUtcNow());

    public Dialect Dialect => Sqlite;

    public string Where => _options.DatabasePath;

    public bool OwnedAlone { get; }

    /// <summary>Checks the file and brings its schema up to date.</summary>
    /// <exception cref="StoreException">The folder is in use, or the file cannot be used.</exception>
    public static SqliteDatabase Open(StoreOptions options, TimeProvider time, StoreAccess access)
    {
        var beside = access == StoreAccess.Beside && File.Exists(options.DatabasePath);
        var held = beside ? null : DirectoryLock.Take(options);
        var database = new SqliteDatabase(options, time, held, access == StoreAccess.Own);
        try
        {
            RefuseForeignFile(options.DatabasePath);
            database.Prepare(mayMigrate: held is not null);
            return database;
        }
        catch
        {
            database.Dispose();
            throw;
        }
    }

    public void RequireRoom() => DiskSpace.Require(_options);

    public Task<T> WriteAsync<T>(Func<DbTransaction, T> work, CancellationToken cancellation) =>
        _writes.WriteAsync(work, cancellation);

    public Task<T> ReadAsync<T>(Func<DbConnection, T> work, CancellationToken cancellation)
    {
        cancellation.ThrowIfCancellationRequested();
        return Task.FromResult(Guard(() => Read(work)));
    }

    public Task<T> ReadMomentAsync<T>(Func<DbTransaction, T> work, CancellationToken cancellation)
    {
        cancellation.ThrowIfCancellationRequested();
        return Task.FromResult(
            Guard(() =>
                Read(c =>
                {
                    using var moment = c.BeginTransaction(deferred: true);
                    return work(moment);
                })
            )
        );
    }

    public int Run(
        DbTransaction t,
        string sql,
        params ReadOnlySpan<(string Name, object? Value)> arguments
    ) => _statements.Run((SqliteTransaction)t, sql, arguments);

    public int Add(DbTransaction t, IReadOnlyList<MessageRow> rows)
    {
        var made = 0;
        foreach (var row in rows)
        {
            var added = Run(
                t,
                AddSql,
                ("@subscriber", row.SubscriberId),
                ("@kind", row.Kind),
                ("@key", row.Key),
                ("@recipient", row.Recipient),
                ("@sender", row.EnvelopeSender),
                ("@messageId", row.MessageId),
                ("@notBefore", row.NotBefore),
                ("@notAfter", row.NotAfter),
                ("@state", row.State),
                ("@reason", row.Reason),
                ("@now", row.Now),
                ("@settled", row.Settled)
            );
            if (added == 1 && row.Content is not null)
            {
                Run(t, AddContentSql, ("@content", row.Content));
            }

            made += added;
        }

        return made;
    }

    // Nothing would be won: what waits shares a transaction, and a statement is a call into the same process.
    public Task<bool> TryBeginTogetherAsync(OutboxMessage claimed, Duration lease) => NotTogether;

    public Task<bool> TryEndTogetherAsync(OutboxMessage sent, string reply) => NotTogether;

    public DbDataSource? OpenScheduleConnections() => null;

    public async Task ScrubAsync(CancellationToken cancellation)
    {
        // The log has the old pages until it is written back and cut off. A reader may be in the way for a moment; what is
        // not cut off then is at a later time.
        for (var attempt = 0; attempt < ScrubAttempts; attempt++)
        {
            var inTheWay = await _writes.BetweenAsync(
                () => Writer().ExecuteScalar<long>("PRAGMA wal_checkpoint(TRUNCATE)"),
                cancellation
            );
            if (inTheWay == 0)
            {
                return;
            }

            await Task.Delay(ScrubPause, cancellation);
        }
    }

    public Task<StoreReport> InspectAsync(CancellationToken cancellation) =>
        ReadAsync<StoreReport>(
            c => new SqliteReport(
                _options.DatabasePath,
                (int)c.ExecuteScalar<long>("PRAGMA user_version"),
                new FileInfo(_options.DatabasePath).Length,
                DiskSpace.FreeBytes(_options.DataDirectory),
                c.ExecuteScalar<string>("PRAGMA integrity_check(3)") ?? "no answer"
            ),
            cancellation
        );

    public ValueTask DisposeAsync()
    {
        Dispose();
        return ValueTask.CompletedTask;
    }

    private void Dispose()
    {
        _writer?.Dispose();
        using var any = new SqliteConnection(ConnectionString(pooled: true));
        SqliteConnection.ClearPool(any);
        _lock?.Dispose();
    }

    private void Prepare(bool mayMigrate)
    {
        Guard(() =>
        {
            // Looked at before the writer opens it: that one changes the file (to WAL), which may not be ours.
            int version;
            using (var looking = Open(pooled: false))
            {
                version = SqliteMigrations.Check(looking, _options.DatabasePath);
            }

            if (version < SqliteMigrations.Newest)
            {
                if (!mayMigrate)
                {
                    throw new StoreException(
                        StoreFault.InUse,
                        $"The database {_options.DatabasePath} is not ready (schema {version}, needed {SqliteMigrations.Newest}). "
                            + "The service brings it up to date when it starts: start it, then try again."
                    );
                }

                SqliteMigrations.Apply(Writer(), version);
            }

            return version;
        });
    }

    private static void RefuseForeignFile(string path)
    {
        ReadOnlySpan<byte> expected = "SQLite format 3\0"u8;
        if (!File.Exists(path))
        {
            return;
        }

        Span<byte> header = stackalloc byte[expected.Length];
        using var file = new FileStream(
            path,
            FileMode.Open,
            FileAccess.Read,
            FileShare.ReadWrite | FileShare.Delete
        );
        var read = file.ReadAtLeast(header, header.Length, throwOnEndOfStream: false);
        if (read > 0 && !header.SequenceEqual(expected))
        {
            throw SqliteFaults.Damaged(path, "it does not begin like one");
        }
    }

    private T Read<T>(Func<SqliteConnection, T> work)
    {
        using var reader = Open(pooled: true);
        reader.Execute("PRAGMA query_only = ON");
        return work(reader);
    }

    private SqliteConnection Writer()
    {
        if (_writer is null)
        {
            var writer = Open(pooled: false);
            try
            {
                // What is deleted is overwritten with zeros: an erased person is not to be read from free pages.
                writer.Execute(
                    "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA secure_delete = ON;"
                );
            }
            catch
            {
                writer.Dispose();
                throw;
            }

            _writer = writer;
        }

        return _writer;
    }

    // After a failure of the surroundings the connection may be unusable; the next write opens a new one.
    private void DropWriter()
    {
        _writer?.Dispose();
        _writer = null;
    }

    private SqliteConnection Open(bool pooled)
    {
        var connection = new SqliteConnection(ConnectionString(pooled));
        connection.Open();
        return connection;
    }

    private string ConnectionString(bool pooled) =>
        new SqliteConnectionStringBuilder
        {
            DataSource = _options.DatabasePath,
            ForeignKeys = true,
            Pooling = pooled,
            DefaultTimeout = (int)Math.Ceiling(_options.BusyTimeout.TotalSeconds),
        }.ToString();

    private T Guard<T>(Func<T> work)
    {
        try
        {
            return work();
        }
        catch (SqliteException e)
        {
            var fault = SqliteFaults.Describe(e, _options);
            if (fault is null)
            {
                throw;
            }

            throw fault;
        }
    }
}
