using System.Runtime.CompilerServices;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>What has been planned of each lawn's season: one row to a lawn, written with the messages.</summary>
public sealed class SeasonPlans
{
    private const int PageSize = 500;

    // The newest due instant of a zone is never older than this, the 25-hour day and a skipped date included.
    private static readonly Duration Back = Duration.FromHours(50);

    private readonly IDatabase _database;
    private readonly Outbox _outbox;

    internal SeasonPlans(IDatabase database, Outbox outbox)
    {
        _database = database;
        _outbox = outbox;
    }

    /// <summary>
    /// Lawns of active subscribers whose newest morning came at or before <paramref name="upTo"/> and that have not
    /// been planned for its date. Mornings before the lawn was added do not count, older ones are not made up for.
    /// Read page by page.
    /// </summary>
    public async IAsyncEnumerable<DueSeason> DueAsync(
        Instant upTo,
        [EnumeratorCancellation] CancellationToken cancellation
    )
    {
        foreach (
            var (zoneId, second) in await MorningClock.HoursInUseAsync(_database, cancellation)
        )
        {
            var (date, at) = MorningClock.Due(zoneId, second, upTo - Back, upTo).Last();
            await foreach (
                var row in Pages.ReadAsync<DueRow>(
                    _database,
                    PageSize,
                    (c, last) =>
                        c.Query<DueRow>(
                            """
                            SELECT l.id AS LawnId, l.profile AS Profile, l.created_at AS AddedAt,
                                s.id AS Id, s.email AS Email, s.status AS Status
                            FROM lawn AS l JOIN subscriber AS s ON s.id = l.subscriber_id
                                LEFT JOIN season_plan AS p ON p.lawn_id = l.id
                            WHERE l.zone_id = @zoneId AND l.message_second = @second AND l.id > @after
                                AND l.created_at <= @due AND s.status = 'Active'
                                AND (s.paused_until IS NULL OR s.paused_until <= @date)
                                AND (p.planned_for IS NULL OR p.planned_for < @date)
                            ORDER BY l.id LIMIT @PageSize
                            """,
                            new
                            {
                                zoneId,
                                second,
                                after = last?.LawnId ?? 0,
                                due = Stored.Ms(at),
                                date = Stored.Iso(date),
                                PageSize,
                            }
                        ),
                    cancellation
                )
            )
            {
                // One that cannot be read is told of by its morning.
                if (row.Noun(date, at) is { } season)
                {
                    yield return season;
                }
            }
        }
    }

    /// <summary>
    /// Writes what was planned, and that it was, in one transaction: nothing is lost or doubled by a crash. Nothing is
    /// written when the lawn is gone or was planned for that date or a later one meanwhile.
    /// </summary>
    /// <param name="season">The lawn and the date.</param>
    /// <param name="messages">The messages; those whose key is there already are left out.</param>
    /// <param name="cancellation">Cancels.</param>
    /// <returns>How many messages were queued; null when nothing was written.</returns>
    public Task<int?> CommitAsync(
        DueSeason season,
        IReadOnlyCollection<OutboxMessage> messages,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync<int?>(
            t =>
            {
                var marked = t.Connection!.Execute(
                    """
                    INSERT INTO season_plan (lawn_id, planned_for)
                    SELECT id, @date FROM lawn WHERE id = @lawnId
                    ON CONFLICT (lawn_id) DO UPDATE SET planned_for = excluded.planned_for
                    WHERE season_plan.planned_for < excluded.planned_for
                    """,
                    new { lawnId = season.Lawn.Id, date = Stored.Iso(season.Date) },
                    t
                );
                return marked == 0 ? null : _outbox.Enqueue(t, messages);
            },
            cancellation
        );

    /// <summary>Keys of the lawn's alerts that have an outbox row, sent or not. Rows outlive their texts, so this is all there ever were.</summary>
    public Task<IReadOnlySet<string>> AlertKeysAsync(
        long subscriberId,
        long lawnId,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync<IReadOnlySet<string>>(
            c =>
                c.Query<string>(
                        """
                        SELECT key FROM outbox
                        WHERE subscriber_id = @subscriberId AND kind = 'Alert' AND key LIKE @ending
                        """,
                        new { subscriberId, ending = $"%#{lawnId}" }
                    )
                    .ToHashSet(StringComparer.Ordinal),
            cancellation
        );

    private sealed class DueRow
    {
        public long LawnId { get; init; }

        public string Profile { get; init; } = "";

        public long AddedAt { get; init; }

        public long Id { get; init; }

        public string Email { get; init; } = "";

        public string Status { get; init; } = "";

        public DueSeason? Noun(LocalDate date, Instant at) =>
            Lawns.TryRead(LawnId, Profile, out _) is { } lawn
                ? new(
                    new(Id, Email, Enum.Parse<SubscriberStatus>(Status)),
                    lawn,
                    date,
                    at,
                    Stored.At(AddedAt)
                )
                : null;
    }
}
