using System.Collections.Immutable;
using Dapper;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;
using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store;

/// <summary>What owners did and saw, a journal to a lawn.</summary>
public sealed class Journal
{
    private readonly SqliteDatabase _database;

    internal Journal(SqliteDatabase database) => _database = database;

    /// <summary>Adds a line; the result has its key.</summary>
    public Task<JournalEntry> AddAsync(
        long lawnId,
        JournalKind kind,
        LocalDate date,
        double? amount,
        CancellationToken cancellation,
        LocalTime? time = null
    ) =>
        _database.WriteAsync(
            t =>
            {
                var id = t.Connection!.ExecuteScalar<long>(
                    """
                    INSERT INTO journal_entry (lawn_id, kind, date, amount, time)
                    VALUES (@lawnId, @kind, @date, @amount, @time)
                    RETURNING id
                    """,
                    new
                    {
                        lawnId,
                        kind = kind.ToString(),
                        date = SqliteDatabase.Iso(date),
                        amount,
                        time = time is { } told ? LocalTimePattern.GeneralIso.Format(told) : null,
                    },
                    t
                );
                return new JournalEntry(id, kind, date, amount, time);
            },
            cancellation
        );

    /// <summary>Takes a line back; false when it is not there.</summary>
    public Task<bool> RemoveAsync(long entryId, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    "DELETE FROM journal_entry WHERE id = @entryId",
                    new { entryId },
                    t
                ) == 1,
            cancellation
        );

    /// <summary>The journal of a lawn, oldest line first; empty when there is none.</summary>
    public Task<LawnRecord> LoadAsync(long lawnId, CancellationToken cancellation) =>
        _database.ReadAsync(
            c => new LawnRecord([
                .. c.Query<(long Id, string Kind, string Date, double? Amount, string? Time)>(
                        "SELECT id, kind, date, amount, time FROM journal_entry WHERE lawn_id = @lawnId ORDER BY date, id",
                        new { lawnId }
                    )
                    .Select(r => new JournalEntry(
                        r.Id,
                        Enum.Parse<JournalKind>(r.Kind),
                        LocalDatePattern.Iso.Parse(r.Date).Value,
                        r.Amount,
                        r.Time is null ? null : LocalTimePattern.GeneralIso.Parse(r.Time).Value
                    )),
            ]),
            cancellation
        );
}
