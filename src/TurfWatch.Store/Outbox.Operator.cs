using System.Data.Common;
using System.Runtime.CompilerServices;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>Which rows are asked for; what is null does not matter.</summary>
/// <param name="States">In one of these; empty means any.</param>
/// <param name="Kind">Of this kind.</param>
/// <param name="SubscriberId">To this subscriber.</param>
/// <param name="Since">Whose window begins at this instant or later.</param>
/// <param name="Until">Whose window begins before this instant.</param>
public sealed record OutboxSearch(
    IReadOnlyCollection<OutboxState> States,
    MessageKind? Kind = null,
    long? SubscriberId = null,
    Instant? Since = null,
    Instant? Until = null
);

/// <summary>What the row says besides the message.</summary>
/// <param name="Message">The message, with its bytes if they are still kept.</param>
/// <param name="CreatedAt">When it was made.</param>
/// <param name="NextAt">When it is tried next.</param>
/// <param name="SettledAt">When it reached its end; null before.</param>
/// <param name="Lost">How many workers stopped while they held it.</param>
/// <param name="SentAgain">Whether it is in its one second try after an end that nobody knows.</param>
public sealed record OutboxFile(
    OutboxMessage Message,
    Instant CreatedAt,
    Instant NextAt,
    Instant? SettledAt,
    int Lost,
    bool SentAgain
);

/// <summary>What became of an operator's order to try a message again.</summary>
public enum RetryAnswer
{
    /// <summary>It is in the queue, due at once.</summary>
    Queued,

    /// <summary>There is no such message.</summary>
    Absent,

    /// <summary>The relay took it: a second copy would follow.</summary>
    Sent,

    /// <summary>A worker holds it just now.</summary>
    UnderWay,

    /// <summary>Its window has closed.</summary>
    TooLate,

    /// <summary>Its bytes are kept no more.</summary>
    NoContent,

    /// <summary>The subscriber left, or must not be written to.</summary>
    MayNotReceive,

    /// <summary>It may have arrived; only an order that allows for a second copy tries it again.</summary>
    MayHaveArrived,
}

public sealed partial class Outbox
{
    /// <summary>The rows asked for, in the order in which they were made, without content; read page by page.</summary>
    public async IAsyncEnumerable<OutboxMessage> SearchAsync(
        OutboxSearch search,
        [EnumeratorCancellation] CancellationToken cancellation
    )
    {
        await foreach (
            var row in Pages.ReadAsync<OutboxRow>(
                _database,
                PageSize,
                (c, last) =>
                    c.Query<OutboxRow>(
                        $"""
                        SELECT {OutboxRow.ColumnsWithoutContent} FROM outbox
                        WHERE id > @after{Conditions(search)} ORDER BY id LIMIT @PageSize
                        """,
                        new
                        {
                            after = last?.Id ?? 0,
                            PageSize,
                            kind = search.Kind?.ToString(),
                            subscriber = search.SubscriberId,
                            since = Ms(search.Since),
                            until = Ms(search.Until),
                        }
                    ),
                cancellation
            )
        )
        {
            yield return row.Noun();
        }
    }

    /// <summary>All that the row of a message says; null when there is none.</summary>
    public Task<OutboxFile?> OpenFileAsync(long id, CancellationToken cancellation) =>
        _database.ReadAsync(
            c =>
            {
                var row = c.QuerySingleOrDefault<OutboxRow>(
                    $"SELECT {OutboxRow.Columns} FROM outbox WHERE id = @id",
                    new { id }
                );
                if (row is null)
                {
                    return null;
                }

                var more = c.QuerySingle<FileRow>(
                    """
                    SELECT created_at AS CreatedAt, next_at AS NextAt, settled_at AS SettledAt, lost AS Lost,
                        resends AS Resends
                    FROM outbox WHERE id = @id
                    """,
                    new { id }
                );
                return new OutboxFile(
                    row.Noun(),
                    Stored.At(more.CreatedAt),
                    Stored.At(more.NextAt),
                    At(more.SettledAt),
                    (int)more.Lost,
                    more.Resends > 0
                );
            },
            cancellation
        );

    /// <summary>
    /// Puts a message that was given up, expired, or waits for its next try back into the queue, due at once. Never one
    /// that was sent, never outside its window, and one that may have arrived only when told to.
    /// </summary>
    public Task<RetryAnswer> RetryAsync(
        long id,
        bool evenIfItArrived,
        CancellationToken cancellation
    ) => _database.WriteAsync(t => Retry(t, id, evenIfItArrived), cancellation);

    /// <summary>
    /// Gives up a message that is not yet under way; its key stays, so that it is not made again. False when there is no
    /// such message in the queue.
    /// </summary>
    public Task<bool> CancelAsync(long id, string reason, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    """
                    UPDATE outbox SET state = 'Suppressed', settled_at = @now, owner = NULL, lease_until = NULL, last_reply = @reason
                    WHERE id = @id AND state IN ('Queued', 'Claimed')
                    """,
                    new
                    {
                        id,
                        reason,
                        now = NowMs,
                    },
                    t
                ) == 1,
            cancellation
        );

    private RetryAnswer Retry(DbTransaction t, long id, bool evenIfItArrived)
    {
        var c = t.Connection!;
        var row = c.QuerySingleOrDefault<RetryRow>(
            $"""
            SELECT state AS State, not_after AS NotAfter, resends AS Resends,
                EXISTS (SELECT 1 FROM outbox_content AS c WHERE c.outbox_id = outbox.id) AS HasContent,
                {OutboxPolicy.MayReceive("kind", "subscriber_id")} AS MayReceive
            FROM outbox WHERE id = @id {_database.Dialect.ForUpdate}
            """,
            new { id },
            t
        );
        if (row is null)
        {
            return RetryAnswer.Absent;
        }

        var answer = row switch
        {
            { State: nameof(OutboxState.Sent) } => RetryAnswer.Sent,
            { State: nameof(OutboxState.Claimed) or nameof(OutboxState.Sending) } =>
                RetryAnswer.UnderWay,
            { NotAfter: var until } when until < NowMs => RetryAnswer.TooLate,
            { HasContent: false } => RetryAnswer.NoContent,
            { MayReceive: false } => RetryAnswer.MayNotReceive,
            // Of a message in its second try nobody knows whether the first arrived.
            { State: nameof(OutboxState.Unknown) } or { Resends: > 0 } when !evenIfItArrived =>
                RetryAnswer.MayHaveArrived,
            _ => RetryAnswer.Queued,
        };
        if (answer == RetryAnswer.Queued)
        {
            c.Execute(
                """
                UPDATE outbox SET state = 'Queued', settled_at = NULL, attempts = 0,
                    resends = CASE WHEN state = 'Unknown' THEN 1 ELSE resends END,
                    next_at = CASE WHEN not_before > @now THEN not_before ELSE @now END
                WHERE id = @id
                """,
                new { id, now = NowMs },
                t
            );
        }

        return answer;
    }

    private static string Conditions(OutboxSearch search)
    {
        var conditions = new List<string>();
        if (search.States.Count > 0)
        {
            conditions.Add($"state IN ({string.Join(", ", search.States.Select(s => $"'{s}'"))})");
        }

        if (search.Kind is not null)
        {
            conditions.Add("kind = @kind");
        }

        if (search.SubscriberId is not null)
        {
            conditions.Add("subscriber_id = @subscriber");
        }

        if (search.Since is not null)
        {
            conditions.Add("not_before >= @since");
        }

        if (search.Until is not null)
        {
            conditions.Add("not_before < @until");
        }

        return string.Concat(conditions.Select(condition => " AND " + condition));
    }

    private sealed class FileRow
    {
        public long CreatedAt { get; init; }

        public long NextAt { get; init; }

        public long? SettledAt { get; init; }

        public long Lost { get; init; }

        public long Resends { get; init; }
    }

    private sealed class RetryRow
    {
        public string State { get; init; } = "";

        public long NotAfter { get; init; }

        public long Resends { get; init; }

        public bool HasContent { get; init; }

        public bool MayReceive { get; init; }
    }
}
