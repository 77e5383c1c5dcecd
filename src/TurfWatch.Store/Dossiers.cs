using System.Collections.Immutable;
using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A lawn with all that is kept of it.</summary>
/// <param name="PlannedFor">The local date for which its season was last planned; null when it never was.</param>
/// <param name="CalendarAddresses">How many addresses were made for its calendar; the last is good.</param>
public sealed record HeldLawn(
    Lawn Lawn,
    Instant CreatedAt,
    LocalDate? PlannedFor,
    int CalendarAddresses,
    ImmutableArray<JournalEntry> Journal
);

/// <summary>Something that an answer or a page did.</summary>
/// <param name="Undo">What it takes to undo it, as JSON.</param>
public sealed record HeldDeed(Instant DoneAt, Instant? UndoneAt, string Undo);

/// <summary>A day on which mail came back.</summary>
public sealed record HeldBounce(LocalDate Day, double Weight);

/// <summary>A request to join by the address.</summary>
public sealed record HeldRequest(Instant At, string Network, bool Sent);

/// <summary>All that the store holds of one person, as of one moment.</summary>
public sealed record Dossier
{
    public required Subscriber Subscriber { get; init; }
    public required string? StatusReason { get; init; }
    public required Instant StatusAt { get; init; }
    public required Instant CreatedAt { get; init; }
    public required LocalDate? PausedUntil { get; init; }
    public required ImmutableArray<HeldLawn> Lawns { get; init; }
    public required ImmutableArray<HeldDeed> Deeds { get; init; }
    public required ImmutableArray<OutboxMessage> Messages { get; init; }
    public required ImmutableArray<HeldBounce> Bounces { get; init; }
    public required ImmutableArray<HeldRequest> Requests { get; init; }

    /// <summary>Why the address must not be written to; null when it may.</summary>
    public required string? Suppressed { get; init; }
}

/// <summary>
/// One person's data, wherever in the store they lie: read whole, erased whole. A table that comes to hold a person's
/// data has to be named here; a test goes through the schema and says which one is not.
/// </summary>
public sealed class Dossiers
{
    private readonly IDatabase _database;

    internal Dossiers(IDatabase database) => _database = database;

    /// <summary>All that is held of a subscriber; null when there is none.</summary>
    /// <param name="subscriberId">The subscriber.</param>
    /// <param name="askedAs">Hash under which the address's requests to join are kept.</param>
    /// <param name="markedAs">Hash under which a mark not to write to it would be kept.</param>
    public Task<Dossier?> OfAsync(
        long subscriberId,
        ReadOnlyMemory<byte> askedAs,
        ReadOnlyMemory<byte> markedAs,
        CancellationToken cancellation
    ) =>
        _database.ReadMomentAsync(
            moment => Read(moment.Connection!, moment, subscriberId, askedAs, markedAs),
            cancellation
        );

    /// <summary>
    /// Erases a subscriber in one transaction: lawns, journals, deeds, requests and bounces go, what waits is not sent,
    /// and of sent messages only kind, date and state stay, without address and content. False when there is none.
    /// </summary>
    /// <param name="mark">Why the address must never be written to again, of which a mark is kept; null keeps none.</param>
    public async Task<bool> EraseAsync(
        long subscriberId,
        ReadOnlyMemory<byte> askedAs,
        ReadOnlyMemory<byte> markedAs,
        string? mark,
        CancellationToken cancellation
    )
    {
        var erased = await _database.WriteAsync(
            t =>
            {
                if (mark is not null)
                {
                    Suppressions.Add(t, markedAs, mark, _database.Now);
                }

                t.Connection!.Execute(
                    "DELETE FROM join_request WHERE address_hash = @hash",
                    new { hash = askedAs.ToArray() },
                    t
                );
                return Subscribers.Remove(t, subscriberId, _database.Now);
            },
            cancellation
        );
        await _database.ScrubAsync(cancellation);
        return erased;
    }

    private static Dossier? Read(
        DbConnection c,
        DbTransaction moment,
        long subscriberId,
        ReadOnlyMemory<byte> askedAs,
        ReadOnlyMemory<byte> markedAs
    )
    {
        var of = new { subscriberId };
        var who = c.QuerySingleOrDefault<PersonRow>(
            """
            SELECT id AS Id, email AS Email, status AS Status, status_reason AS StatusReason, status_at AS StatusAt,
                created_at AS CreatedAt, paused_until AS PausedUntil
            FROM subscriber WHERE id = @subscriberId
            """,
            of,
            moment
        );
        return who is null
            ? null
            : new()
            {
                Subscriber = who.Noun(),
                StatusReason = who.StatusReason,
                StatusAt = Stored.At(who.StatusAt),
                CreatedAt = Stored.At(who.CreatedAt),
                PausedUntil = Stored.Date(who.PausedUntil),
                Lawns = LawnsOf(c, moment, subscriberId),
                Deeds =
                [
                    .. c.Query<(long Done, long? Undone, string Undo)>(
                            "SELECT done_at, undone_at, undo FROM deed WHERE subscriber_id = @subscriberId ORDER BY done_at, id",
                            of,
                            moment
                        )
                        .Select(d => new HeldDeed(
                            Stored.At(d.Done),
                            d.Undone is { } at ? Stored.At(at) : null,
                            d.Undo
                        )),
                ],
                Messages =
                [
                    .. c.Query<OutboxRow>(
                            $"SELECT {OutboxRow.Columns} FROM outbox WHERE subscriber_id = @subscriberId ORDER BY id",
                            of,
                            moment
                        )
                        .Select(r => r.Noun()),
                ],
                Bounces =
                [
                    .. c.Query<(string Day, double Weight)>(
                            "SELECT day, weight FROM bounce WHERE subscriber_id = @subscriberId ORDER BY day",
                            of,
                            moment
                        )
                        .Select(b => new HeldBounce(Stored.Date(b.Day)!.Value, b.Weight)),
                ],
                Requests =
                [
                    .. c.Query<(long At, string Network, long Sent)>(
                            "SELECT at, network, sent FROM join_request WHERE address_hash = @hash ORDER BY at, id",
                            new { hash = askedAs.ToArray() },
                            moment
                        )
                        .Select(r => new HeldRequest(Stored.At(r.At), r.Network, r.Sent != 0)),
                ],
                Suppressed = c.ExecuteScalar<string?>(
                    "SELECT reason FROM suppression WHERE address_hash = @hash",
                    new { hash = markedAs.ToArray() },
                    moment
                ),
            };
    }

    private static ImmutableArray<HeldLawn> LawnsOf(
        DbConnection c,
        DbTransaction moment,
        long subscriberId
    ) =>
        [
            .. c.Query<(long Id, string Profile, long CreatedAt, string? Planned, long Calendar)>(
                    """
                    SELECT l.id, l.profile, l.created_at, p.planned_for, l.calendar
                    FROM lawn AS l LEFT JOIN season_plan AS p ON p.lawn_id = l.id
                    WHERE l.subscriber_id = @subscriberId ORDER BY l.id
                    """,
                    new { subscriberId },
                    moment
                )
                .Select(l => new HeldLawn(
                    Lawns.Read(l.Id, l.Profile),
                    Stored.At(l.CreatedAt),
                    Stored.Date(l.Planned),
                    (int)l.Calendar,
                    Journal.Read(c, moment, l.Id)
                )),
        ];

    private sealed class PersonRow : Subscribers.SubscriberRow
    {
        public string? StatusReason { get; init; }

        public long StatusAt { get; init; }

        public long CreatedAt { get; init; }

        public string? PausedUntil { get; init; }
    }
}
