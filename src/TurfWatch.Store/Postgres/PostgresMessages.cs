using Npgsql;
using NpgsqlTypes;

namespace TurfWatch.Store.Postgres;

/// <summary>Statements of the outbox that deal with many rows at once.</summary>
internal static class PostgresMessages
{
    private static readonly string AddSql = $"""
        WITH given AS MATERIALIZED (
            SELECT * FROM unnest($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)
                WITH ORDINALITY AS g (subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before, not_after,
                    content, state, reason, now, settled, place)
        ), made AS (
            INSERT INTO outbox (subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before,
                not_after, state, next_at, last_reply, created_at, settled_at)
            SELECT subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before,
                not_after, state, not_before, reason, now, settled
            FROM given WHERE {OutboxPolicy.MayReceive(
            "given.kind",
            "given.subscriber_id"
        )} ORDER BY place
            ON CONFLICT (subscriber_id, kind, key) DO NOTHING
            RETURNING id, subscriber_id, kind, key
        ), filled AS (
            INSERT INTO outbox_content (outbox_id, content)
            SELECT DISTINCT ON (made.id) made.id, given.content
            FROM made JOIN given ON given.subscriber_id = made.subscriber_id
                AND given.kind COLLATE "C" = made.kind AND given.key COLLATE "C" = made.key
            WHERE given.content IS NOT NULL
            ORDER BY made.id, given.place
        )
        SELECT COUNT(*) FROM made
        """;

    public static int Add(NpgsqlTransaction t, IReadOnlyList<MessageRow> rows)
    {
        if (rows.Count == 0)
        {
            return 0;
        }

        using var command = new NpgsqlCommand(AddSql, t.Connection, t)
        {
            Parameters =
            {
                Bigints(r => r.SubscriberId),
                Texts(r => r.Kind),
                Texts(r => r.Key),
                Texts(r => r.Recipient),
                Texts(r => r.EnvelopeSender),
                Texts(r => r.MessageId),
                Bigints(r => r.NotBefore),
                Bigints(r => r.NotAfter),
                Many(NpgsqlDbType.Bytea, r => r.Content),
                Texts(r => r.State),
                Texts(r => r.Reason),
                Bigints(r => r.Now),
                Many(NpgsqlDbType.Bigint, r => r.Settled),
            },
        };
        return (int)(long)command.ExecuteScalar()!;

        NpgsqlParameter Bigints(Func<MessageRow, long> of) => Many(NpgsqlDbType.Bigint, of);

        NpgsqlParameter Texts(Func<MessageRow, string?> of) => Many(NpgsqlDbType.Text, of);

        NpgsqlParameter Many<T>(NpgsqlDbType type, Func<MessageRow, T> of) =>
            new NpgsqlParameter<T[]>
            {
                NpgsqlDbType = NpgsqlDbType.Array | type,
                TypedValue = [.. rows.Select(of)],
            };
    }
}
