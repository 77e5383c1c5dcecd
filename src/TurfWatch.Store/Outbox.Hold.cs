using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>Why nothing is sent: an operator's hold, or a restored copy that was not yet released.</summary>
/// <param name="Since">Since when.</param>
/// <param name="Reason">Why, for the operator.</param>
/// <param name="BackupAt">Of a restored copy: the moment that it shows. What was sent after it is not known here.</param>
/// <param name="RestoredAt">Of a restored copy: when it was restored.</param>
public sealed record OutboxHold(
    Instant Since,
    string Reason,
    Instant? BackupAt = null,
    Instant? RestoredAt = null
)
{
    /// <summary>It is a copy: it makes no messages either, until it is released.</summary>
    public bool IsRestored => BackupAt is not null;

    /// <summary>For logs, health and lists.</summary>
    public string Sentence =>
        $"nothing is sent since {Since}: {Reason}. 'turfwatch outbox release' lets messages go whose window is still open";
}

/// <summary>What a release did to messages of which nobody knows whether another service sent them.</summary>
/// <param name="Unknown">Settled: they are not sent.</param>
/// <param name="SentOnceMore">Left in the queue for one more try with the same Message-ID.</param>
/// <param name="Expired">Their window had closed.</param>
/// <param name="Waiting">What is left to be sent.</param>
public sealed record HoldReleased(int Unknown, int SentOnceMore, int Expired, int Waiting);

public sealed partial class Outbox
{
    // Part of the statements that claim and begin, so that a hold holds from its commit on.
    internal const string NotHeld = "NOT EXISTS (SELECT 1 FROM outbox_hold)";

    /// <summary>The hold, or null when messages are sent.</summary>
    public Task<OutboxHold?> HeldAsync(CancellationToken cancellation) =>
        _database.ReadAsync(c => Held(c, null), cancellation);

    /// <summary>Holds everything from now on; false when it is held already. What a relay is just being given may still end.</summary>
    /// <param name="reason">Why, for the operator.</param>
    /// <param name="copyOf">The store is a copy that was put there by a database's own tools, and shows this moment; null when it is none.</param>
    public Task<bool> HoldAsync(string reason, Instant? copyOf, CancellationToken cancellation) =>
        _database.WriteAsync(
            t => Hold(t, new(_database.Now, reason, copyOf, copyOf is null ? null : _database.Now)),
            cancellation
        );

    internal static bool Hold(DbTransaction t, OutboxHold hold) =>
        t.Connection!.Execute(
            """
            INSERT INTO outbox_hold (one, since, reason, backup_at, restored_at)
            VALUES (1, @since, @Reason, @backupAt, @restoredAt) ON CONFLICT DO NOTHING
            """,
            new
            {
                since = Stored.Ms(hold.Since),
                hold.Reason,
                backupAt = Ms(hold.BackupAt),
                restoredAt = Ms(hold.RestoredAt),
            },
            t
        ) == 1;

    /// <summary>Puts messages on record that another service may have sent; those whose key has a row are left out. Returns how many.</summary>
    public Task<int> RecordMaybeSentAsync(
        IReadOnlyCollection<OutboxMessage> messages,
        string reason,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t => _database.Add(t, [.. messages.Select(m => Row(m, OutboxState.Unknown, reason))]),
            cancellation
        );

    /// <summary>
    /// Ends the hold, in one transaction with what follows from it: messages that another service may have sent
    /// until <paramref name="othersSentUntil"/> count as begun there, with an end that nobody knows; closed windows expire.
    /// </summary>
    /// <returns>Null when nothing is held.</returns>
    public Task<HoldReleased?> ReleaseAsync(
        Instant? othersSentUntil,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                var c = t.Connection!;
                if (Held(c, t) is not { } hold)
                {
                    return null;
                }

                var (unknown, again) = othersSentUntil is { } until
                    ? SettleMaybeSent(t, until)
                    : (0, 0);
                c.Execute("DELETE FROM outbox_hold", transaction: t);
                // Leases of a copy are the old service's, and that is gone.
                var swept = PutRight(
                    t,
                    int.MaxValue,
                    hold.IsRestored ? "TRUE" : $"lease_until <= {_database.Dialect.LeaseNow}",
                    []
                );
                var waiting = (int)
                    c.ExecuteScalar<long>(
                        $"SELECT COUNT(*) FROM outbox WHERE {Open}",
                        transaction: t
                    );
                return new HoldReleased(
                    unknown + swept.Unknown,
                    again + swept.Resent,
                    swept.Expired,
                    waiting
                );
            },
            cancellation
        );

    /// <summary>Rows that were due until then and had no end: as if each had been begun, and the end was not seen.</summary>
    private (int Unknown, int Again) SettleMaybeSent(DbTransaction t, Instant until)
    {
        var arguments = new { now = NowMs, until = Stored.Ms(until) };
        const string MaybeSent = $"{Open} AND not_before <= @until";
        var unknown = t.Connection!.Execute(
            $"""
            UPDATE outbox SET state = 'Unknown', settled_at = @now, owner = NULL, lease_until = NULL,
                last_reply = 'the service that the backup was taken from may have sent it'
            WHERE {MaybeSent} AND (kind NOT IN ({OutboxPolicy.ResentKinds}) OR resends > 0)
            """,
            arguments,
            t
        );
        var again = t.Connection!.Execute(
            $"""
            UPDATE outbox SET state = 'Queued', resends = 1, owner = NULL, lease_until = NULL
            WHERE {MaybeSent} AND not_after >= @now
            """,
            arguments,
            t
        );
        return (unknown, again);
    }

    internal static OutboxHold? Held(DbConnection c, DbTransaction? t)
    {
        var row = c.QuerySingleOrDefault<HoldRow>(
            "SELECT since AS Since, reason AS Reason, backup_at AS BackupAt, restored_at AS RestoredAt FROM outbox_hold",
            transaction: t
        );
        return row is null
            ? null
            : new(Stored.At(row.Since), row.Reason, At(row.BackupAt), At(row.RestoredAt));
    }

    private static long? Ms(Instant? at) => at is { } known ? Stored.Ms(known) : null;

    private static Instant? At(long? ms) => ms is { } known ? Stored.At(known) : null;

    private sealed class HoldRow
    {
        public long Since { get; init; }

        public string Reason { get; init; } = "";

        public long? BackupAt { get; init; }

        public long? RestoredAt { get; init; }
    }
}
