using Dapper;
using NodaTime;

namespace TurfWatch.Store;

/// <summary>Where a message lies in a mailbox (RFC 3501 2.3.1.1).</summary>
/// <param name="Mailbox">Account and folder.</param>
/// <param name="UidValidity">Changes when the numbers begin anew.</param>
/// <param name="Uid">Its number.</param>
public sealed record MailboxPlace(string Mailbox, uint UidValidity, uint Uid);

/// <summary>The ledger of inbound messages: each is dealt with once.</summary>
public sealed class Inbound
{
    private readonly IDatabase _database;

    internal Inbound(IDatabase database) => _database = database;

    /// <summary>Whether a message was dealt with, by its place or its Message-ID's key.</summary>
    public Task<bool> SeenAsync(
        MailboxPlace place,
        string messageKey,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
                c.ExecuteScalar<long>(
                    """
                    SELECT COUNT(*) FROM inbound
                    WHERE (mailbox = @Mailbox AND uid_validity = @UidValidity AND uid = @Uid)
                        OR (@messageKey <> '' AND message_key = @messageKey)
                    """,
                    new
                    {
                        place.Mailbox,
                        UidValidity = (long)place.UidValidity,
                        Uid = (long)place.Uid,
                        messageKey,
                    }
                ) > 0,
            cancellation
        );

    /// <summary>Puts a message on record as dealt with.</summary>
    public Task RecordAsync(
        MailboxPlace place,
        string messageKey,
        string outcome,
        CancellationToken cancellation
    ) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    """
                    INSERT INTO inbound (mailbox, uid_validity, uid, message_key, seen_at, outcome)
                    VALUES (@Mailbox, @UidValidity, @Uid, @messageKey, @now, @outcome) ON CONFLICT DO NOTHING
                    """,
                    new
                    {
                        place.Mailbox,
                        UidValidity = (long)place.UidValidity,
                        Uid = (long)place.Uid,
                        messageKey,
                        outcome,
                        now = Stored.Ms(_database.Now),
                    },
                    t
                );
            },
            cancellation
        );

    /// <summary>Forgets messages seen before <paramref name="before"/>.</summary>
    public Task<int> PruneAsync(Instant before, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    "DELETE FROM inbound WHERE seen_at < @before",
                    new { before = Stored.Ms(before) },
                    t
                ),
            cancellation
        );
}
