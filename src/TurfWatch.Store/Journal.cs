using System.Collections.Immutable;
using System.Data.Common;
using Dapper;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>What owners did and saw, a journal to a lawn.</summary>
public sealed class Journal
{
    private readonly IDatabase _database;

    internal Journal(IDatabase database) => _database = database;

    /// <summary>Adds a line; the result has its key.</summary>
    public Task<JournalEntry> AddAsync(
        long lawnId,
        JournalEntry entry,
        CancellationToken cancellation
    ) => _database.WriteAsync(t => Insert(t, lawnId, entry), cancellation);

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
        _database.ReadAsync(c => new LawnRecord(Read(c, null, lawnId)), cancellation);

    /// <summary>The journals of many lawns, read at once; each is made when it is asked for, so that a line that cannot be read harms no other lawn.</summary>
    public Task<Func<long, LawnRecord>> LoadAsync(
        IReadOnlyCollection<long> lawnIds,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync<Func<long, LawnRecord>>(
            c =>
            {
                // Numbers, so they may stand in the text; no two texts are alike, so none is worth remembering.
                var rows = c.Query<EntryRow>(
                        new CommandDefinition(
                            $"{EntryRow.Select} WHERE lawn_id IN ({string.Join(',', lawnIds.DefaultIfEmpty(0))}) ORDER BY date, id",
                            flags: CommandFlags.NoCache
                        )
                    )
                    .ToLookup(r => r.LawnId);
                return lawnId => new LawnRecord([.. rows[lawnId].Select(r => r.Noun())]);
            },
            cancellation
        );

    internal static ImmutableArray<JournalEntry> Read(
        DbConnection c,
        DbTransaction? moment,
        long lawnId
    ) =>
        [
            .. c.Query<EntryRow>(
                    $"{EntryRow.Select} WHERE lawn_id = @lawnId ORDER BY date, id",
                    new { lawnId },
                    moment
                )
                .Select(r => r.Noun()),
        ];

    internal static JournalEntry Insert(DbTransaction t, long lawnId, JournalEntry entry)
    {
        var id = t.Connection!.ExecuteScalar<long>(
            """
            INSERT INTO journal_entry (lawn_id, kind, date, amount, time, height_before, phosphate, potash, grass)
            VALUES (@lawnId, @kind, @date, @Amount, @time, @HeightBeforeCm, @PhosphateGM2, @PotashGM2, @grass)
            RETURNING id
            """,
            new
            {
                lawnId,
                kind = entry.Kind.ToString(),
                date = Stored.Iso(entry.Date),
                entry.Amount,
                time = entry.Time is { } told ? LocalTimePattern.GeneralIso.Format(told) : null,
                entry.HeightBeforeCm,
                entry.PhosphateGM2,
                entry.PotashGM2,
                grass = entry.Grass?.ToString(),
            },
            t
        );
        return entry with { Id = id };
    }

    /// <summary>Takes a line out and gives it back; null when the lawn has no such line.</summary>
    internal static JournalEntry? Take(DbTransaction t, long lawnId, long entryId)
    {
        var entry = t.Connection!.QuerySingleOrDefault<EntryRow>(
                $"{EntryRow.Select} WHERE id = @entryId AND lawn_id = @lawnId",
                new { entryId, lawnId },
                t
            )
            ?.Noun();
        if (entry is not null)
        {
            t.Connection!.Execute(
                "DELETE FROM journal_entry WHERE id = @entryId",
                new { entryId },
                t
            );
        }

        return entry;
    }

    private sealed class EntryRow
    {
        public const string Select = """
            SELECT id AS Id, lawn_id AS LawnId, kind AS Kind, date AS Date, amount AS Amount, time AS Time, height_before AS HeightBefore,
                phosphate AS Phosphate, potash AS Potash, grass AS Grass
            FROM journal_entry
            """;

        public long Id { get; init; }

        public long LawnId { get; init; }

        public string Kind { get; init; } = "";

        public string Date { get; init; } = "";

        public double? Amount { get; init; }

        public string? Time { get; init; }

        public double? HeightBefore { get; init; }

        public double? Phosphate { get; init; }

        public double? Potash { get; init; }

        public string? Grass { get; init; }

        public JournalEntry Noun() =>
            new(
                Id,
                Enum.Parse<JournalKind>(Kind),
                LocalDatePattern.Iso.Parse(Date).Value,
                Amount,
                Time is null ? null : LocalTimePattern.GeneralIso.Parse(Time).Value
            )
            {
                HeightBeforeCm = HeightBefore,
                PhosphateGM2 = Phosphate,
                PotashGM2 = Potash,
                Grass = Grass is null ? null : Enum.Parse<GrassKind>(Grass),
            };
    }
}
