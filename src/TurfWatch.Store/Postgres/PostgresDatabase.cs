using System.Data;
using System.Data.Common;
using Dapper;
using NodaTime;
using Npgsql;
using TurfWatch.Core;

namespace TurfWatch.Store.Postgres;

/// <summary>
/// One PostgreSQL database that several workers share. A write is one transaction (read committed; rows that must not change are
/// locked by the SQL). What the server rolled back, or never began, is run again for as long as <see cref="StoreOptions.BusyTimeout"/>.
/// </summary>
internal sealed class PostgresDatabase : IDatabase
{
    private readonly StoreOptions _options;
    private readonly TimeProvider _time;
    private readonly NpgsqlDataSource _source;
    private readonly NpgsqlDataSource _stepSource;
    private readonly PostgresPatience _patience;
    private readonly PostgresSteps _steps;
    private NpgsqlDataSource? _schedule;

    private PostgresDatabase(StoreOptions options, TimeProvider time)
    {
        _options = options;
        _time = time;
        _source = PostgresConnection.Source(options);
        Where = $"PostgreSQL on {PostgresConnection.Where(_source)}";
        _patience = new(options, Where);
        Dialect = new(
            LeaseNow: options.LeasesByProgramClock
                ? "@now"
                : "CAST(EXTRACT(EPOCH FROM clock_timestamp()) * 1000 AS bigint)",
            ForUpdate: "FOR UPDATE",
            ForShare: "FOR SHARE",
            SkipLocked: "FOR UPDATE SKIP LOCKED",
            TakeSweep: $"SELECT pg_try_advisory_xact_lock({PostgresLocks.Sweep})",
            TakeKeys: "LOCK TABLE link_key IN EXCLUSIVE MODE"
        );
        _stepSource = PostgresConnection.OfSteps(options);
        _steps = new(_stepSource, Where, _patience, Dialect.LeaseNow, () => Stored.Ms(Now));
    }

    public Instant Now => Instant.FromDateTimeOffset(_time.GetUtcNow());

    public Dialect Dialect { get; }

    public string Where { get; }

    public bool OwnedAlone => false;

    /// <summary>Connects, checks the schema, and brings it up to date if that is the caller's to do.</summary>
    /// <exception cref="StoreException">The server or the database cannot be used; the message says why and what to do.</exception>
    public static async Task<PostgresDatabase> OpenAsync(
        StoreOptions options,
        TimeProvider time,
        StoreAccess access,
        CancellationToken cancellation
    )
    {
        var database = new PostgresDatabase(options, time);
        try
        {
            await database._patience.RunAsync(
                async () =>
                {
                    await using var connection = await database._source.OpenConnectionAsync(
                        cancellation
                    );
                    PostgresMigrations.Prepare(connection, access);
                    return true;
                },
                cancellation
            );
            return database;
        }
        catch
        {
            await database.DisposeAsync();
            throw;
        }
    }

    // How much room the server's disk has cannot be asked; a full one refuses the claim itself (53100).
    public void RequireRoom() { }

    public Task<T> WriteAsync<T>(Func<DbTransaction, T> work, CancellationToken cancellation) =>
        _patience.RunAsync(() => WriteOnceAsync(work, cancellation), cancellation);

    public Task<T> ReadAsync<T>(Func<DbConnection, T> work, CancellationToken cancellation) =>
        _patience.RunAsync(
            async () =>
            {
                await using var connection = await _source.OpenConnectionAsync(cancellation);
                return work(connection);
            },
            cancellation
        );

    public Task<T> ReadMomentAsync<T>(
        Func<DbTransaction, T> work,
        CancellationToken cancellation
    ) =>
        _patience.RunAsync(
            async () =>
            {
                await using var connection = await _source.OpenConnectionAsync(cancellation);
                await using var moment = await connection.BeginTransactionAsync(
                    IsolationLevel.RepeatableRead,
                    cancellation
                );
                return work(moment);
            },
            cancellation
        );

    // Npgsql has the server prepare what is run often.
    public int Run(
        DbTransaction t,
        string sql,
        params ReadOnlySpan<(string Name, object? Value)> arguments
    )
    {
        using var command = (NpgsqlCommand)t.Connection!.CreateCommand();
        command.CommandText = sql;
        foreach (var (name, value) in arguments)
        {
            command.Parameters.AddWithValue(name, value ?? DBNull.Value);
        }

        return command.ExecuteNonQuery();
    }

    public int Add(DbTransaction t, IReadOnlyList<MessageRow> rows) =>
        PostgresMessages.Add((NpgsqlTransaction)t, rows);

    public Task<bool> TryBeginTogetherAsync(OutboxMessage claimed, Duration lease) =>
        _steps.TryBeginAsync(claimed, Stored.Ms(lease));

    public Task<bool> TryEndTogetherAsync(OutboxMessage sent, string reply) =>
        _steps.TryEndAsync(sent, reply);

    public DbDataSource? OpenScheduleConnections() =>
        _schedule ??= PostgresConnection.OfSchedule(_options);

    // Dead rows are the server's: its autovacuum reuses their room, and its log of changes goes when it is recycled.
    public Task ScrubAsync(CancellationToken cancellation) => Task.CompletedTask;

    public Task<StoreReport> InspectAsync(CancellationToken cancellation) =>
        ReadAsync<StoreReport>(
            c => PostgresInspection.Make(c, _options, PostgresConnection.Where(_source), _time),
            cancellation
        );

    public async ValueTask DisposeAsync()
    {
        await _stepSource.DisposeAsync();
        await _source.DisposeAsync();
        await (_schedule?.DisposeAsync() ?? default);
    }

    private async Task<T> WriteOnceAsync<T>(
        Func<DbTransaction, T> work,
        CancellationToken cancellation
    )
    {
        StoreException? unsure = null;
        try
        {
            await using var connection = await _source.OpenConnectionAsync(cancellation);
            await using var transaction = await connection.BeginTransactionAsync(cancellation);
            var result = work(transaction);
            try
            {
                // Not to be cancelled half way: the answer is worth waiting for.
                await transaction.CommitAsync(CancellationToken.None);
            }
            catch (Exception e) when (PostgresFaults.LeavesCommitUnknown(e))
            {
                unsure = PostgresFaults.Unsure(Where, e);
                throw;
            }

            return result;
        }
        catch (Exception) when (unsure is not null)
        {
            // Not what the clean-up of the broken connection may have thrown after it, which looks as if the work could be run again.
            throw unsure;
        }
    }
}
