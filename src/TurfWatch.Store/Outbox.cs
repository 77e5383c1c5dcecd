using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>
/// Messages that are committed before they are sent. States and promises: docs/reliability.md. Leases are told by the
/// database's clock (<see cref="Dialect.LeaseNow"/>), which all workers share; windows and due times by the program's.
/// </summary>
public sealed partial class Outbox
{
    /// <summary>
    /// SQL: the row has not reached its end. In the words of the index outbox_open, or SQLite does not use it; for one state
    /// alone, write <c>state = 'Queued'</c> without a list.
    /// </summary>
    internal const string Open = "(state = 'Queued' OR state = 'Claimed' OR state = 'Sending')";

    /// <summary>
    /// SQL: the state of a row that is found by its id. So written it cannot be looked up in outbox_open, where PostgreSQL
    /// would wade through what earlier rows left behind in that state.
    /// </summary>
    internal const string StateOfRow = "(state || '')";

    private readonly IDatabase _database;

    private readonly string _claimSql;

    internal Outbox(IDatabase database) =>
        (_database, _claimSql, _beginSql) = (
            database,
            ClaimSql(database.Dialect),
            BeginSql(database.Dialect)
        );

    /// <summary>
    /// Writes the messages in one transaction. One whose (subscriber, kind, key) is there already, or whose
    /// subscriber is not active, is left out. Returns how many rows were made.
    /// </summary>
    public Task<int> EnqueueAsync(
        IReadOnlyCollection<OutboxMessage> messages,
        CancellationToken cancellation
    )
    {
        // Packed before the transaction, which others wait for.
        var rows = messages.Select(m => Row(m, OutboxState.Queued, null)).ToList();
        return _database.WriteAsync(t => _database.Add(t, rows), cancellation);
    }

    internal int Enqueue(DbTransaction t, IReadOnlyCollection<OutboxMessage> messages) =>
        _database.Add(t, [.. messages.Select(m => Row(m, OutboxState.Queued, null))]);

    /// <summary>
    /// Puts a morning on record whose window closed before a message was made (the service was down, or
    /// there was no weather). False when it has a row already.
    /// </summary>
    public Task<bool> RecordMissedAsync(
        DueMorning morning,
        Instant notAfter,
        string reason,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
                _database.Add(
                    t,
                    [
                        MessageRow.UnsentMorning(
                            morning.Subscriber,
                            morning.Key,
                            morning.DueAt,
                            notAfter,
                            OutboxState.Expired,
                            reason,
                            NowMs
                        ),
                    ]
                ) == 1,
            cancellation
        );

    /// <summary>
    /// Takes up to <paramref name="batch"/> due messages under a lease. The attempt counts from here, so that a
    /// message that kills the process is given up in the end. Messages whose lease lapsed before come one at a time,
    /// after all others: one that kills the process then takes no other with it.
    /// </summary>
    /// <exception cref="StoreException">Among others: there is not enough room to save what would become of them.</exception>
    public Task<IReadOnlyList<OutboxMessage>> ClaimAsync(
        string owner,
        int batch,
        Duration lease,
        CancellationToken cancellation
    ) =>
        ClaimAsync(
            t =>
            {
                var fresh = Claim(t, owner, batch, lease, lost: false);
                return fresh.Count > 0 ? fresh : Claim(t, owner, 1, lease, lost: true);
            },
            cancellation
        );

    /// <summary>As <see cref="ClaimAsync(string, int, Duration, CancellationToken)"/>, but none whose lease lapsed before: safe beside messages under way.</summary>
    /// <exception cref="StoreException">Among others: there is not enough room to save what would become of them.</exception>
    public Task<IReadOnlyList<OutboxMessage>> ClaimFreshAsync(
        string owner,
        int batch,
        Duration lease,
        CancellationToken cancellation
    ) => ClaimAsync(t => Claim(t, owner, batch, lease, lost: false), cancellation);

    private async Task<IReadOnlyList<OutboxMessage>> ClaimAsync(
        Func<DbTransaction, List<OutboxRow>> claim,
        CancellationToken cancellation
    )
    {
        _database.RequireRoom();
        var rows = await _database.WriteAsync(claim, cancellation);

        // Unpacked after the commit: a row that cannot be unpacked has spent its attempt and harms no other.
        var messages = new List<OutboxMessage>(rows.Count);
        foreach (var row in rows.OrderBy(r => r.NotBefore).ThenBy(r => r.Id))
        {
            try
            {
                messages.Add(
                    row.Content is null
                        ? throw new InvalidDataException("its bytes are not there")
                        : row.Noun()
                );
            }
            catch (InvalidDataException e)
            {
                await SettleUnreadableAsync(row, e, cancellation);
            }
        }

        return messages;
    }

    internal static string ClaimSql(Dialect dialect) =>
        $"""
            WITH due AS MATERIALIZED (
                SELECT id AS due_id FROM outbox
                WHERE state = 'Queued' AND attempts = @attempts AND next_at <= @now AND not_after >= @now
                    AND (lost > 0) = @lost AND {NotHeld}
                ORDER BY next_at, id LIMIT @wanted {dialect.SkipLocked})
            UPDATE outbox
            SET state = 'Claimed', owner = @owner, lease_until = {dialect.LeaseNow} + @lease,
                fence = fence + 1, attempts = attempts + 1
            WHERE id IN (SELECT due_id FROM due)
            RETURNING {OutboxRow.Columns}
            """;

    private MessageRow Row(OutboxMessage message, OutboxState state, string? reason) =>
        MessageRow.Of(message, state, reason, NowMs);

    /// <summary>
    /// Those tried least come first. Each number of tries is asked for by itself, so that what is not due yet, and what is
    /// settled, is not looked at.
    /// </summary>
    private List<OutboxRow> Claim(
        DbTransaction t,
        string owner,
        int batch,
        Duration lease,
        bool lost
    )
    {
        var c = t.Connection!;
        var rows = new List<OutboxRow>();
        for (long? attempts = 0; attempts is not null; attempts = Next(attempts.Value))
        {
            rows.AddRange(
                c.Query<OutboxRow>(
                    _claimSql,
                    new
                    {
                        owner,
                        attempts,
                        wanted = batch - rows.Count,
                        lost,
                        now = NowMs,
                        lease = Stored.Ms(lease),
                    },
                    t
                )
            );
            if (rows.Count >= batch)
            {
                break;
            }
        }

        return rows;

        long? Next(long attempts) =>
            c.ExecuteScalar<long?>(
                "SELECT MIN(attempts) FROM outbox WHERE state = 'Queued' AND attempts > @attempts",
                new { attempts },
                t
            );
    }

    private long NowMs => Stored.Ms(_database.Now);
}
