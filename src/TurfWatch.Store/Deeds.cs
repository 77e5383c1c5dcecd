using System.Buffers.Binary;
using System.Collections.Immutable;
using System.Data.Common;
using System.Security.Cryptography;
using System.Text;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>What one answer, or one button on a page, does: all of it or nothing, in one transaction, and it can be undone.</summary>
public sealed record Deed
{
    /// <summary>Drawn by whoever makes it, so that a message can hold a link to it; it is done once.</summary>
    public required long Id { get; init; }

    /// <summary>Whose it is.</summary>
    public required long SubscriberId { get; init; }

    /// <summary>The lawn that the entries are of; 0 when there are none.</summary>
    public long LawnId { get; init; }

    /// <summary>Lines for the journal.</summary>
    public ImmutableArray<JournalEntry> Adds { get; init; } = [];

    /// <summary>Numbers of journal lines to take out.</summary>
    public ImmutableArray<long> Removes { get; init; } = [];

    /// <summary>The lawn's new profile; null leaves it.</summary>
    public Lawn? Changed { get; init; }

    /// <summary>A lawn to add; null adds none.</summary>
    public Lawn? NewLawn { get; init; }

    /// <summary>What it does to other lawns of the same subscriber: entries and profiles only, done and undone with it.</summary>
    public ImmutableArray<Deed> And { get; init; } = [];

    /// <summary>An earlier deed of the subscriber that it takes back; null takes none back.</summary>
    public long? TakesBack { get; init; }

    /// <summary>Pause until this date (open end: <see cref="LocalDate.MaxIsoValue"/>), or resume with a date in the past; null leaves it.</summary>
    public LocalDate? PausedUntil { get; init; }

    /// <summary>The new status; null leaves it.</summary>
    public SubscriberStatus? Status { get; init; }

    /// <summary>Why the status changes, for the operator.</summary>
    public string Reason { get; init; } = "";

    /// <summary>Messages that tell of it, written in the same transaction.</summary>
    public ImmutableArray<OutboxMessage> Messages { get; init; } = [];

    internal bool DoesSomething =>
        Adds.Length > 0
        || Removes.Length > 0
        || Changed is not null
        || NewLawn is not null
        || PausedUntil is not null
        || Status is not null
        || And.Any(d => d.DoesSomething);

    /// <summary>A number that no other deed has: 63 bits drawn at random.</summary>
    public static long DrawId() => IdOf(RandomNumberGenerator.GetBytes(sizeof(long)));

    /// <summary>The number of what <paramref name="source"/> names: the same again for the same.</summary>
    public static long IdOf(string source) => IdOf(SHA256.HashData(Encoding.UTF8.GetBytes(source)));

    private static long IdOf(ReadOnlySpan<byte> bytes) =>
        BinaryPrimitives.ReadInt64BigEndian(bytes) & long.MaxValue;
}

/// <summary>Does deeds and takes them back.</summary>
public sealed class Deeds
{
    private static readonly LocalDate OpenEnd = new(9999, 12, 31);

    private readonly IDatabase _database;
    private readonly Outbox _outbox;

    internal Deeds(IDatabase database, Outbox outbox)
    {
        _database = database;
        _outbox = outbox;
    }

    /// <summary>Does it; false when it was done before, or the lawn or journal line is not the subscriber's: then nothing is done.</summary>
    public Task<bool> DoAsync(Deed deed, CancellationToken cancellation) =>
        _database.WriteAsync(t => Do(t, deed), cancellation);

    /// <summary>Takes it back; false when there is no such deed, or it is undone already.</summary>
    /// <param name="deedId">The deed.</param>
    /// <param name="cancellation">Cancels.</param>
    public Task<bool> UndoAsync(long deedId, CancellationToken cancellation) =>
        _database.WriteAsync(t => Undo(t, deedId), cancellation);

    /// <summary>Number of the subscriber's newest deed that is not undone and younger than <paramref name="since"/>; null when there is none.</summary>
    public Task<long?> LastAsync(
        long subscriberId,
        Instant since,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
                c.ExecuteScalar<long?>(
                    """
                    SELECT id FROM deed WHERE subscriber_id = @subscriberId AND undone_at IS NULL AND done_at >= @since
                    ORDER BY done_at DESC, id DESC LIMIT 1
                    """,
                    new { subscriberId, since = Stored.Ms(since) }
                ),
            cancellation
        );

    internal bool Do(DbTransaction t, Deed deed)
    {
        var c = t.Connection!;
        // One deed of a subscriber at a time.
        c.Execute(
            $"SELECT id FROM subscriber WHERE id = @SubscriberId {_database.Dialect.ForUpdate}",
            deed,
            t
        );
        if (
            c.ExecuteScalar<long>("SELECT COUNT(*) FROM deed WHERE id = @Id", deed, t) > 0
            || !Owns(t, deed)
        )
        {
            return false;
        }

        if (deed.TakesBack is { } earlier)
        {
            Undo(t, earlier);
        }

        var undo = Apply(t, deed) with { And = [.. deed.And.Select(d => Apply(t, d))] };
        c.Execute(
            """
            INSERT INTO deed (id, subscriber_id, done_at, undo, undone_at)
            VALUES (@Id, @SubscriberId, @now, @undo, @undone)
            """,
            new
            {
                deed.Id,
                deed.SubscriberId,
                now = Stored.Ms(_database.Now),
                undo = NounJson.Write(undo),
                // What does nothing is not what "undo" is to find.
                undone = deed.DoesSomething ? (long?)null : Stored.Ms(_database.Now),
            },
            t
        );
        if (deed.Status is { } status)
        {
            Subscribers.SetStatus(t, deed.SubscriberId, status, deed.Reason, _database.Now);
        }

        _outbox.Enqueue(t, deed.Messages);
        return true;
    }

    /// <summary>Does it, but for its row, its status and its messages; gives what it takes to undo it.</summary>
    private UndoSteps Apply(DbTransaction t, Deed deed)
    {
        var c = t.Connection!;
        var removed = deed
            .Removes.Select(id => Journal.Take(t, deed.LawnId, id))
            .OfType<JournalEntry>()
            .ToImmutableArray();
        var steps = new UndoSteps
        {
            LawnId = deed.LawnId,
            Added = [.. deed.Adds.Select(e => Journal.Insert(t, deed.LawnId, e).Id)],
            Removed = removed,
            Before = deed.Changed is null ? null : LawnOf(t, deed.Changed.Id),
            PausedBefore = c.ExecuteScalar<string?>(
                "SELECT paused_until FROM subscriber WHERE id = @SubscriberId",
                deed,
                t
            ),
            PauseChanged = deed.PausedUntil is not null,
            NewLawn = deed.NewLawn is { } another
                ? Lawns.Insert(t, deed.SubscriberId, another, _database.Now)
                : null,
            StatusAfter = deed.Status,
            StatusBefore = deed.Status is null
                ? null
                : Enum.Parse<SubscriberStatus>(
                    c.ExecuteScalar<string>(
                        "SELECT status FROM subscriber WHERE id = @SubscriberId",
                        deed,
                        t
                    )!
                ),
        };
        if (deed.Changed is { } lawn)
        {
            Lawns.Update(t, deed.SubscriberId, lawn, _database.Now);
        }

        if (deed.PausedUntil is { } until)
        {
            SetPause(t, deed.SubscriberId, Stored.Iso(LocalDate.Min(until, OpenEnd)));
            DropQueuedListMail(t, deed.SubscriberId, "paused by the owner");
        }

        return steps;
    }

    private bool Undo(DbTransaction t, long deedId)
    {
        var c = t.Connection!;
        var (subscriberId, text) = c.QuerySingleOrDefault<(long, string?)>(
            $"SELECT subscriber_id, undo FROM deed WHERE id = @deedId AND undone_at IS NULL {_database.Dialect.ForUpdate}",
            new { deedId },
            t
        );
        if (text is null)
        {
            return false;
        }

        var undo = NounJson.Read<UndoSteps>(text);
        foreach (var steps in undo.And.Append(undo))
        {
            Revert(t, subscriberId, steps);
        }

        // What became of the subscriber since then (a mailbox that refuses mail, say) is not undone.
        if (
            undo.StatusBefore is { } status
            && c.ExecuteScalar<string>(
                "SELECT status FROM subscriber WHERE id = @subscriberId",
                new { subscriberId },
                t
            ) == undo.StatusAfter?.ToString()
        )
        {
            Subscribers.SetStatus(t, subscriberId, status, "taken back", _database.Now);
        }

        return c.Execute(
                "UPDATE deed SET undone_at = @now WHERE id = @deedId",
                new { deedId, now = Stored.Ms(_database.Now) },
                t
            ) == 1;
    }

    private void Revert(DbTransaction t, long subscriberId, UndoSteps undo)
    {
        foreach (var id in undo.Added)
        {
            Journal.Take(t, undo.LawnId, id);
        }

        foreach (var entry in undo.Removed)
        {
            Journal.Insert(t, undo.LawnId, entry);
        }

        if (undo.Before is { } lawn)
        {
            Lawns.Update(t, subscriberId, lawn, _database.Now);
        }

        if (undo.PauseChanged)
        {
            SetPause(t, subscriberId, undo.PausedBefore);
        }

        if (undo.NewLawn is { } added)
        {
            DropQueuedMailOf(t, subscriberId, added);
            t.Connection!.Execute(
                "DELETE FROM lawn WHERE id = @added AND subscriber_id = @subscriberId",
                new { added, subscriberId },
                t
            );
        }
    }

    private static bool Owns(DbTransaction t, Deed deed)
    {
        var lawns = deed
            .And.Append(deed)
            .SelectMany(d => new[] { d.LawnId, d.Changed?.Id ?? 0 })
            .Where(id => id != 0)
            .Distinct()
            .ToList();
        var owned = t.Connection!.Query<long>(
            "SELECT id FROM lawn WHERE subscriber_id = @SubscriberId",
            deed,
            t
        );
        return !lawns.Except(owned).Any()
            && t.Connection!.ExecuteScalar<long>(
                "SELECT COUNT(*) FROM subscriber WHERE id = @SubscriberId",
                deed,
                t
            ) == 1;
    }

    private static Lawn LawnOf(DbTransaction t, long lawnId) =>
        Lawns.Read(
            lawnId,
            t.Connection!.ExecuteScalar<string>(
                "SELECT profile FROM lawn WHERE id = @lawnId",
                new { lawnId },
                t
            )!
        );

    private static void SetPause(DbTransaction t, long subscriberId, string? until) =>
        t.Connection!.Execute(
            "UPDATE subscriber SET paused_until = @until WHERE id = @subscriberId",
            new { subscriberId, until },
            t
        );

    private void DropQueuedListMail(DbTransaction t, long subscriberId, string reason) =>
        t.Connection!.Execute(
            """
            UPDATE outbox SET state = 'Suppressed', settled_at = @now, owner = NULL, lease_until = NULL,
                last_reply = COALESCE(@reason, last_reply)
            WHERE subscriber_id = @subscriberId AND state IN ('Queued', 'Claimed')
                AND kind IN ('Morning', 'Alert', 'Digest')
            """,
            new
            {
                subscriberId,
                reason,
                now = Stored.Ms(_database.Now),
            },
            t
        );

    private void DropQueuedMailOf(DbTransaction t, long subscriberId, long lawnId) =>
        t.Connection!.Execute(
            """
            UPDATE outbox SET state = 'Suppressed', settled_at = @now, owner = NULL, lease_until = NULL,
                last_reply = 'the lawn was taken back'
            WHERE subscriber_id = @subscriberId AND state IN ('Queued', 'Claimed') AND key LIKE @ofLawn
            """,
            new
            {
                subscriberId,
                ofLawn = $"%#{lawnId}",
                now = Stored.Ms(_database.Now),
            },
            t
        );

    /// <summary>What it takes to undo a deed, as JSON in its row.</summary>
    private sealed record UndoSteps
    {
        public long LawnId { get; init; }
        public ImmutableArray<long> Added { get; init; } = [];
        public ImmutableArray<JournalEntry> Removed { get; init; } = [];
        public Lawn? Before { get; init; }
        public long? NewLawn { get; init; }
        public ImmutableArray<UndoSteps> And { get; init; } = [];
        public bool PauseChanged { get; init; }
        public string? PausedBefore { get; init; }
        public SubscriberStatus? StatusBefore { get; init; }
        public SubscriberStatus? StatusAfter { get; init; }
    }
}
