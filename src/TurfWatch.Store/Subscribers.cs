using System.Collections.Immutable;
using System.Data.Common;
using System.Runtime.CompilerServices;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A subscriber with the lawns.</summary>
public sealed record SubscriberLawns(Subscriber Subscriber, ImmutableArray<Lawn> Lawns);

/// <summary>Who receives messages, and about which lawns.</summary>
public sealed class Subscribers
{
    private const int PageSize = 500;

    private readonly IDatabase _database;

    internal Subscribers(IDatabase database) => _database = database;

    /// <summary>Adds a subscriber with a first lawn; null when the address is there already, whatever its case.</summary>
    /// <exception cref="ArgumentException">The lawn's zone is not a known time zone.</exception>
    public Task<SubscriberLawns?> AddAsync(
        string email,
        Lawn lawn,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                var address = WithLowerDomain(email);
                var id = t.Connection!.ExecuteScalar<long?>(
                    """
                    INSERT INTO subscriber (email, email_key, status, status_at, created_at)
                    VALUES (@address, @key, 'Active', @now, @now)
                    ON CONFLICT (email_key) DO NOTHING
                    RETURNING id
                    """,
                    new
                    {
                        address,
                        key = Key(email),
                        now = Stored.Ms(_database.Now),
                    },
                    t
                );
                return id is null
                    ? null
                    : new SubscriberLawns(
                        new(id.Value, address, SubscriberStatus.Active),
                        [lawn with { Id = InsertLawn(t, id.Value, lawn) }]
                    );
            },
            cancellation
        );

    /// <summary>Adds another lawn; the result has its key.</summary>
    public Task<Lawn> AddLawnAsync(long subscriberId, Lawn lawn, CancellationToken cancellation) =>
        _database.WriteAsync(
            t => lawn with { Id = InsertLawn(t, subscriberId, lawn) },
            cancellation
        );

    /// <summary>The subscriber of an address, whatever its case, or null.</summary>
    public Task<SubscriberLawns?> FindAsync(string email, CancellationToken cancellation) =>
        FindAsync("email_key = @sought", Key(email), cancellation);

    /// <summary>The subscriber of a number, or null.</summary>
    public Task<SubscriberLawns?> OfAsync(long subscriberId, CancellationToken cancellation) =>
        FindAsync("id = @sought", subscriberId, cancellation);

    private Task<SubscriberLawns?> FindAsync(
        string condition,
        object sought,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
            {
                var row = c.QuerySingleOrDefault<SubscriberRow>(
                    $"{SubscriberRow.Select} WHERE {condition}",
                    new { sought }
                );
                return row is null ? null : new SubscriberLawns(row.Noun(), LawnsOf(c, row.Id));
            },
            cancellation
        );

    /// <summary>All subscribers, in the order in which they came; read page by page.</summary>
    public IAsyncEnumerable<SubscriberLawns> ListAsync(CancellationToken cancellation) =>
        Pages.ReadAsync<SubscriberLawns>(
            _database,
            PageSize,
            (c, last) =>
                c.Query<SubscriberRow>(
                        SubscriberRow.Select + " WHERE id > @after ORDER BY id LIMIT @PageSize",
                        new { after = last?.Subscriber.Id ?? 0, PageSize }
                    )
                    .Select(r => new SubscriberLawns(r.Noun(), LawnsOf(c, r.Id))),
            cancellation
        );

    /// <summary>
    /// Sets the status. Leaving it suppresses, in the same transaction, all that waits for the subscriber,
    /// so that no delivery starts after this returns. False when there is no such subscriber.
    /// </summary>
    public Task<bool> SetStatusAsync(
        long subscriberId,
        SubscriberStatus status,
        string? reason,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t => SetStatus(t, subscriberId, status, reason, _database.Now),
            cancellation
        );

    /// <summary>Puts a subscriber who left back on the list; false when there is none who left.</summary>
    public Task<bool> RejoinAsync(
        long subscriberId,
        string reason,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    """
                    UPDATE subscriber SET status = 'Active', status_reason = @reason, status_at = @now
                    WHERE id = @subscriberId AND status = 'Left'
                    """,
                    new
                    {
                        subscriberId,
                        reason,
                        now = Stored.Ms(_database.Now),
                    },
                    t
                ) == 1,
            cancellation
        );

    /// <summary>
    /// Removes the subscriber, the lawns and the journal. What became of the messages stays on record
    /// without address and content.
    /// </summary>
    internal static bool Remove(DbTransaction t, long subscriberId, Instant now)
    {
        SetStatus(t, subscriberId, SubscriberStatus.Left, "removed", now);
        t.Connection!.Execute(
            """
            DELETE FROM outbox_content
            WHERE outbox_id IN (SELECT id FROM outbox WHERE subscriber_id = @subscriberId);
            UPDATE outbox SET recipient = '', last_reply = NULL WHERE subscriber_id = @subscriberId;
            """,
            new { subscriberId },
            t
        );
        return t.Connection!.Execute(
                "DELETE FROM subscriber WHERE id = @subscriberId",
                new { subscriberId },
                t
            ) == 1;
    }

    /// <summary>
    /// The mornings of active subscribers whose message is due after <paramref name="now"/> −
    /// <paramref name="late"/> and up to <paramref name="now"/> + <paramref name="ahead"/>, and that have no
    /// outbox row yet. Mornings before the lawn was added, or that its owner does not want, are not owed. Due instants are worked out here,
    /// for the local dates in question only, from zone and local time. Read page by page, ZIP code by ZIP code of those due at
    /// one time, so that who goes through them meets each weather cell once. The morning of a lawn that cannot be read is put on record as dead.
    /// </summary>
    public async IAsyncEnumerable<DueMorning> DueMorningsAsync(
        Instant now,
        Duration ahead,
        Duration late,
        [EnumeratorCancellation] CancellationToken cancellation
    )
    {
        foreach (
            var (zoneId, second) in await MorningClock.HoursInUseAsync(_database, cancellation)
        )
        {
            foreach (var due in MorningClock.Due(zoneId, second, now - late, now + ahead))
            {
                await foreach (
                    var morning in OwedAsync(zoneId, second, due.Date, due.At, cancellation)
                )
                {
                    yield return morning;
                }
            }
        }
    }

    /// <exception cref="StoreException">A stored lawn lies in a zone that this program's time zone data do not know.</exception>
    internal async Task RequireKnownZonesAsync(CancellationToken cancellation)
    {
        var unknown = await _database.ReadAsync(
            c =>
                c.Query<string>("SELECT DISTINCT zone_id FROM lawn")
                    .Where(z => DateTimeZoneProviders.Tzdb.GetZoneOrNull(z) is null)
                    .ToList(),
            cancellation
        );
        if (unknown.Count > 0)
        {
            throw new StoreException(
                StoreFault.Corrupt,
                $"Lawns in the database lie in time zones that are not known ({string.Join(", ", unknown)}). "
                    + "Their mornings cannot be told. Update TurfWatch, whose time zone data are built in."
            );
        }
    }

    internal static bool SetStatus(
        DbTransaction t,
        long subscriberId,
        SubscriberStatus status,
        string? reason,
        Instant at
    )
    {
        var now = Stored.Ms(at);
        var found =
            t.Connection!.Execute(
                """
                UPDATE subscriber SET status = @status, status_reason = @reason, status_at = @now
                WHERE id = @subscriberId
                """,
                new
                {
                    subscriberId,
                    status = status.ToString(),
                    reason,
                    now,
                },
                t
            ) == 1;
        if (found && status != SubscriberStatus.Active)
        {
            t.Connection!.Execute(
                $"""
                UPDATE outbox SET state = 'Suppressed', settled_at = @now, owner = NULL, lease_until = NULL,
                    last_reply = COALESCE(@reason, last_reply)
                WHERE subscriber_id = @subscriberId AND state IN ('Queued', 'Claimed')
                    AND NOT {OutboxPolicy.MayReceive("kind", "subscriber_id")}
                """,
                new
                {
                    subscriberId,
                    reason,
                    now,
                },
                t
            );
        }

        return found;
    }

    private async IAsyncEnumerable<DueMorning> OwedAsync(
        string zoneId,
        long second,
        LocalDate date,
        Instant dueAt,
        [EnumeratorCancellation] CancellationToken cancellation
    )
    {
        await foreach (
            var row in Pages.ReadAsync<OwedRow>(
                _database,
                PageSize,
                (c, last) =>
                    c.Query<OwedRow>(
                        """
                        SELECT l.id AS LawnId, l.zip AS Zip, l.profile AS Profile, s.id AS Id, s.email AS Email, s.status AS Status
                        FROM lawn AS l JOIN subscriber AS s ON s.id = l.subscriber_id
                        WHERE l.zone_id = @zoneId AND l.message_second = @second AND (l.zip, l.id) > (@afterZip, @after)
                            AND l.mornings_from <= @due AND s.status = 'Active'
                            AND (s.paused_until IS NULL OR s.paused_until <= @date)
                            AND NOT EXISTS (
                                SELECT 1 FROM outbox AS o
                                WHERE o.subscriber_id = s.id AND o.kind = 'Morning' AND o.key = @date || '#' || l.id)
                        ORDER BY l.zip, l.id LIMIT @PageSize
                        """,
                        new
                        {
                            zoneId,
                            second,
                            afterZip = last?.Zip ?? "",
                            after = last?.LawnId ?? 0,
                            due = Stored.Ms(dueAt),
                            date = Stored.Iso(date),
                            PageSize,
                        }
                    ),
                cancellation
            )
        )
        {
            if (Lawns.TryRead(row.LawnId, row.Profile, out var fault) is { } lawn)
            {
                yield return new(row.Noun(), lawn, date, dueAt);
            }
            else
            {
                await RecordUnreadableAsync(row, date, dueAt, fault!, cancellation);
            }
        }
    }

    /// <summary>One damaged lawn costs the others nothing, and its own morning stands on record.</summary>
    private Task<int> RecordUnreadableAsync(
        OwedRow row,
        LocalDate date,
        Instant dueAt,
        string fault,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
                _database.Add(
                    t,
                    [
                        MessageRow.UnsentMorning(
                            row.Noun(),
                            DueMorning.KeyOf(date, row.LawnId),
                            dueAt,
                            notAfter: dueAt,
                            OutboxState.Dead,
                            $"lawn {row.LawnId} cannot be read ({fault}); restore its row from a backup, or upgrade all of TurfWatch",
                            Stored.Ms(_database.Now)
                        ),
                    ]
                ),
            cancellation
        );

    private long InsertLawn(DbTransaction t, long subscriberId, Lawn lawn) =>
        Lawns.Insert(t, subscriberId, lawn, _database.Now);

    internal static ImmutableArray<Lawn> LawnsOf(DbConnection c, long subscriberId) =>
        [
            .. c.Query<(long Id, string Profile)>(
                    "SELECT id, profile FROM lawn WHERE subscriber_id = @subscriberId ORDER BY id",
                    new { subscriberId }
                )
                .Select(r => Lawns.Read(r.Id, r.Profile)),
        ];

    internal static string Key(string email) => email.Trim().ToLowerInvariant();

    internal static string WithLowerDomain(string email)
    {
        var trimmed = email.Trim();
        var at = trimmed.LastIndexOf('@');
        return string.Concat(trimmed.AsSpan(0, at + 1), trimmed[(at + 1)..].ToLowerInvariant());
    }

    internal class SubscriberRow
    {
        public const string Select =
            "SELECT id AS Id, email AS Email, status AS Status FROM subscriber";

        public long Id { get; init; }

        public string Email { get; init; } = "";

        public string Status { get; init; } = "";

        public Subscriber Noun() => new(Id, Email, Enum.Parse<SubscriberStatus>(Status));
    }

    private sealed class OwedRow : SubscriberRow
    {
        public long LawnId { get; init; }

        public string Zip { get; init; } = "";

        public string Profile { get; init; } = "";
    }
}
