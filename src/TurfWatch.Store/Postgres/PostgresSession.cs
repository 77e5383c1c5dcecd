using System.Globalization;
using Dapper;
using Npgsql;

namespace TurfWatch.Store.Postgres;

/// <summary>One connection of an operator's command that takes as long as it takes: nothing in it is cut off for being slow or idle.</summary>
internal sealed class PostgresSession : IAsyncDisposable
{
    private readonly StoreOptions _options;
    private readonly NpgsqlDataSource _source;

    private PostgresSession(
        StoreOptions options,
        NpgsqlDataSource source,
        NpgsqlConnection connection
    )
    {
        (_options, _source, Connection) = (options, source, connection);
        Where = $"PostgreSQL on {PostgresConnection.Where(source)}";
    }

    public NpgsqlConnection Connection { get; }

    /// <summary>Server and database, for messages.</summary>
    public string Where { get; }

    /// <summary>The server's main version.</summary>
    public int Major => Connection.PostgreSqlVersion.Major;

    /// <exception cref="StoreException">The server or the database cannot be used.</exception>
    public static async Task<PostgresSession> OpenAsync(
        StoreOptions options,
        CancellationToken cancellation
    )
    {
        var source = PostgresConnection.OfOperator(options);
        try
        {
            return new(options, source, await source.OpenConnectionAsync(cancellation));
        }
        catch (Exception e)
        {
            var where = $"PostgreSQL on {PostgresConnection.Where(source)}";
            await source.DisposeAsync();
            var fault = PostgresFaults.Describe(e, options, where);
            if (fault is null)
            {
                throw;
            }

            throw fault;
        }
    }

    /// <summary>Does work on the connection; failures of the server, and of no file beside it, are told as sentences.</summary>
    public T Do<T>(Func<NpgsqlConnection, T> work)
    {
        try
        {
            return work(Connection);
        }
        catch (NpgsqlException e)
        {
            var fault = PostgresFaults.Describe(e, _options, Where);
            if (fault is null)
            {
                throw;
            }

            throw fault;
        }
    }

    /// <summary>Does work in one transaction.</summary>
    public T Write<T>(Func<NpgsqlTransaction, T> work) =>
        Do(c =>
        {
            using var t = c.BeginTransaction();
            var result = work(t);
            t.Commit();
            return result;
        });

    /// <summary>Workers and commands of TurfWatch that are connected besides us.</summary>
    public int Others() =>
        Do(c =>
            (int)
                c.ExecuteScalar<long>(
                    """
                    SELECT COUNT(*) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()
                        AND (application_name LIKE 'turfwatch%' OR application_name = @own)
                    """,
                    new
                    {
                        own = new NpgsqlConnectionStringBuilder(_options.Postgres).ApplicationName,
                    }
                )
        );

    /// <exception cref="StoreException">Workers are connected.</exception>
    public void RefuseOthers(string purpose)
    {
        if (Others() is > 0 and var others)
        {
            throw new StoreException(
                StoreFault.InUse,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{Where} has {others} open connections of TurfWatch. {purpose} Stop all workers (systemctl stop 'turfwatch@*'), then run this again."
                )
            );
        }
    }

    public async ValueTask DisposeAsync()
    {
        await Connection.DisposeAsync();
        await _source.DisposeAsync();
    }
}
