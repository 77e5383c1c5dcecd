using System.Globalization;
using Dapper;
using Microsoft.Data.Sqlite;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Store.Sqlite;

/// <summary>
/// One SQLite file: one writer connection that all writes queue for, and readers beside it (WAL). A write
/// is one BEGIN IMMEDIATE … COMMIT with synchronous=FULL: when it returns, it is on the disk.
/// </summary>
internal sealed class SqliteDatabase(StoreOptions options, TimeProvider time) : IDisposable
{
    private readonly SemaphoreSlim _turn = new(1, 1);
    private SqliteConnection? _writer;

    public StoreOptions Options => options;

    /// <summary>Now, as the database counts it (SQLite is on this machine, so its clock is ours).</summary>
    public Instant Now => Instant.FromDateTimeOffset(time.GetUtcNow());

    /// <summary>Checks the file and brings its schema up to date.</summary>
    public void Prepare(bool mayMigrate)
    {
        Guard(() =>
        {
            // Looked at before the writer opens it: that one changes the file (to WAL), which may not be ours.
            int version;
            using (var looking = Open(pooled: false))
            {
                version = Migrations.Check(looking, options.DatabasePath);
            }

            if (version < Migrations.Newest)
            {
                if (!mayMigrate)
                {
                    throw new StoreException(
                        StoreFault.InUse,
                        $"The database {options.DatabasePath} is not ready (schema {version}, needed {Migrations.Newest}). "
                            + "The service brings it up to date when it starts: start it, then try again."
                    );
                }

                Migrations.Apply(Writer(), version);
            }

            return version;
        });
    }

    public async Task<T> WriteAsync<T>(
        Func<SqliteTransaction, T> work,
        CancellationToken cancellation
    )
    {
        await _turn.WaitAsync(cancellation);
        try
        {
            return Guard(() =>
            {
                using var transaction = Writer().BeginTransaction(deferred: false);
                var result = work(transaction);
                transaction.Commit();
                return result;
            });
        }
        catch (StoreException)
        {
            // After a failure of the surroundings the connection may be unusable; the next write opens a new one.
            _writer?.Dispose();
            _writer = null;
            throw;
        }
        finally
        {
            _turn.Release();
        }
    }

    public Task WriteAsync(Action<SqliteTransaction> work, CancellationToken cancellation) =>
        WriteAsync<object?>(
            t =>
            {
                work(t);
                return null;
            },
            cancellation
        );

    public Task<T> ReadAsync<T>(Func<SqliteConnection, T> work, CancellationToken cancellation)
    {
        cancellation.ThrowIfCancellationRequested();
        return Task.FromResult(
            Guard(() =>
            {
                using var reader = Open(pooled: true);
                reader.Execute("PRAGMA query_only = ON");
                return work(reader);
            })
        );
    }

    public void Dispose()
    {
        _writer?.Dispose();
        _turn.Dispose();
        using var any = new SqliteConnection(ConnectionString(pooled: true));
        SqliteConnection.ClearPool(any);
    }

    private SqliteConnection Writer()
    {
        if (_writer is null)
        {
            var writer = Open(pooled: false);
            try
            {
                writer.Execute("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;");
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

    private SqliteConnection Open(bool pooled)
    {
        var connection = new SqliteConnection(ConnectionString(pooled));
        connection.Open();
        return connection;
    }

    private string ConnectionString(bool pooled) =>
        new SqliteConnectionStringBuilder
        {
            DataSource = options.DatabasePath,
            ForeignKeys = true,
            Pooling = pooled,
            DefaultTimeout = (int)Math.Ceiling(options.BusyTimeout.TotalSeconds),
        }.ToString();

    private T Guard<T>(Func<T> work)
    {
        try
        {
            return work();
        }
        catch (SqliteException e)
        {
            var fault = SqliteFaults.Describe(e, options);
            if (fault is null)
            {
                throw;
            }

            throw fault;
        }
    }

    /// <summary>Milliseconds since 1970, the form of an instant in the database.</summary>
    public static long Ms(Instant instant) => instant.ToUnixTimeMilliseconds();

    public static Instant At(long ms) => Instant.FromUnixTimeMilliseconds(ms);

    public static string Iso(LocalDate date) =>
        date.ToString("uuuu-MM-dd", CultureInfo.InvariantCulture);

    public static LocalDate? Date(string? iso) =>
        iso is null ? null : LocalDatePattern.Iso.Parse(iso).Value;
}
