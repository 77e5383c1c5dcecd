using System.Collections.Immutable;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>What a request to join meets.</summary>
public enum JoinStanding
{
    /// <summary>The address is new, or it left: it is pending now.</summary>
    Pending,

    /// <summary>It receives the messages already.</summary>
    Active,

    /// <summary>It must not be written to.</summary>
    Suppressed,
}

/// <summary>How often it was asked to join, for the limits.</summary>
/// <param name="AddressHour">Confirmations to the address in the last hour.</param>
/// <param name="AddressDay">In the last day.</param>
/// <param name="AddressEver">Since the address was last confirmed, within the memory of the log.</param>
/// <param name="NetworkHour">Requests from the network in the last hour.</param>
/// <param name="AllHour">Requests in all in the last hour.</param>
public sealed record JoinCounts(
    int AddressHour,
    int AddressDay,
    int AddressEver,
    int NetworkHour,
    int AllHour
);

/// <summary>Joining the list: asked, then confirmed.</summary>
public sealed class Joins
{
    private readonly IDatabase _database;
    private readonly Outbox _outbox;

    internal Joins(IDatabase database, Outbox outbox)
    {
        _database = database;
        _outbox = outbox;
    }

    /// <summary>How often the address, the network and everybody asked lately.</summary>
    public Task<JoinCounts> CountAsync(
        ReadOnlyMemory<byte> addressHash,
        string network,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
            {
                var now = _database.Now;
                var arguments = new
                {
                    hash = addressHash.ToArray(),
                    network,
                    hour = Stored.Ms(now - Duration.FromHours(1)),
                    day = Stored.Ms(now - Duration.FromHours(24)),
                };
                return new JoinCounts(
                    Count("address_hash = @hash AND sent = 1 AND at > @hour"),
                    Count("address_hash = @hash AND sent = 1 AND at > @day"),
                    Count("address_hash = @hash AND sent = 1"),
                    Count("network = @network AND at > @hour"),
                    Count("at > @hour")
                );

                int Count(string where) =>
                    (int)
                        c.ExecuteScalar<long>(
                            $"SELECT COUNT(*) FROM join_request WHERE {where}",
                            arguments
                        );
            },
            cancellation
        );

    /// <summary>
    /// Puts the request on record and, when the address is new or had left, makes it pending with this lawn. An address
    /// that is pending keeps its number and takes the new lawn; without a lawn it keeps what it has. The subscriber is given back in every case but one: a
    /// suppressed address.
    /// </summary>
    public Task<(JoinStanding Standing, SubscriberLawns? Who)> AskAsync(
        string email,
        Lawn? lawn,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync<(JoinStanding, SubscriberLawns?)>(
            t =>
            {
                var c = t.Connection!;
                var now = Stored.Ms(_database.Now);
                var address = Subscribers.WithLowerDomain(email);
                // Made first and looked up after, so that two who ask at once meet the same row.
                var made = c.ExecuteScalar<long?>(
                    """
                    INSERT INTO subscriber (email, email_key, status, status_at, created_at)
                    VALUES (@address, @key, 'Pending', @now, @now)
                    ON CONFLICT (email_key) DO NOTHING RETURNING id
                    """,
                    new
                    {
                        address,
                        key = Subscribers.Key(email),
                        now,
                    },
                    t
                );
                var known = made is not null
                    ? null
                    : c.QuerySingleOrDefault<Subscribers.SubscriberRow>(
                        $"{Subscribers.SubscriberRow.Select} WHERE email_key = @key {_database.Dialect.ForUpdate}",
                        new { key = Subscribers.Key(email) },
                        t
                    );
                if (known?.Noun() is { Status: SubscriberStatus.Suppressed })
                {
                    return (JoinStanding.Suppressed, null);
                }

                if (known?.Noun() is { Status: SubscriberStatus.Active } active)
                {
                    return (JoinStanding.Active, new(active, Subscribers.LawnsOf(c, active.Id)));
                }

                var id = made ?? known!.Id;
                if (lawn is not null && known?.Noun().Status == SubscriberStatus.Pending)
                {
                    c.Execute("DELETE FROM lawn WHERE subscriber_id = @id", new { id }, t);
                }

                c.Execute(
                    "UPDATE subscriber SET status = 'Pending', status_reason = NULL, status_at = @now WHERE id = @id",
                    new { id, now },
                    t
                );
                // Who comes back finds his lawns and journals as they were.
                if (
                    lawn is not null
                    && Subscribers.LawnsOf(c, id).All(l => l.Place.Zip != lawn.Place.Zip)
                )
                {
                    Lawns.Insert(t, id, lawn, _database.Now);
                }

                return (
                    JoinStanding.Pending,
                    new(new(id, address, SubscriberStatus.Pending), Subscribers.LawnsOf(c, id))
                );
            },
            cancellation
        );

    /// <summary>Puts a request on record, with the confirmation that answers it, if one does.</summary>
    public Task RecordAsync(
        ReadOnlyMemory<byte> addressHash,
        string network,
        OutboxMessage? confirmation,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    "INSERT INTO join_request (address_hash, network, at, sent) VALUES (@hash, @network, @now, @sent)",
                    new
                    {
                        hash = addressHash.ToArray(),
                        network,
                        now = Stored.Ms(_database.Now),
                        sent = confirmation is null ? 0 : 1,
                    },
                    t
                );
                if (confirmation is not null)
                {
                    _outbox.Enqueue(t, [confirmation]);
                }
            },
            cancellation
        );

    /// <summary>
    /// Makes a pending subscriber active; false when it is not pending (confirmed before, left, or forgotten). The
    /// address's limits begin anew.
    /// </summary>
    public Task<bool> ConfirmAsync(
        long subscriberId,
        ReadOnlyMemory<byte> addressHash,
        ImmutableArray<OutboxMessage> messages,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                var c = t.Connection!;
                var confirmed =
                    c.Execute(
                        """
                        UPDATE subscriber SET status = 'Active', status_reason = 'confirmed', status_at = @now
                        WHERE id = @subscriberId AND status = 'Pending'
                        """,
                        new { subscriberId, now = Stored.Ms(_database.Now) },
                        t
                    ) == 1;
                if (confirmed)
                {
                    c.Execute(
                        "DELETE FROM join_request WHERE address_hash = @hash",
                        new { hash = addressHash.ToArray() },
                        t
                    );
                    _outbox.Enqueue(t, messages);
                }

                return confirmed;
            },
            cancellation
        );

    /// <summary>Forgets who asked before <paramref name="before"/> and never confirmed, and the requests of more than 30 days ago; returns how many of the former.</summary>
    public Task<int> ForgetAsync(Instant before, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    "DELETE FROM join_request WHERE at < @old",
                    new { old = Stored.Ms(_database.Now - Duration.FromDays(30)) },
                    t
                );
                return t.Connection!.Execute(
                    "DELETE FROM subscriber WHERE status = 'Pending' AND status_at < @before",
                    new { before = Stored.Ms(before) },
                    t
                );
            },
            cancellation
        );
}
