using Npgsql;
using NpgsqlTypes;
using TurfWatch.Core;

namespace TurfWatch.Store.Postgres;

/// <summary>
/// Begins and ends of messages that wait at the same time are written in one transaction and one message to the server, by a
/// statement for all of each, whose conditions are those of one alone. It is an attempt: what it does not do (the subscriber's row
/// is locked, a condition does not hold, another row brought the statement down) is to be done alone, which finds out why. No step
/// is told that it was done before the transaction is on the disk. A step that comes while nothing is under way is done at once.
/// </summary>
/// <remarks>
/// When the connection breaks, nobody knows whether the transaction was done. It is done again, and what is found begun or
/// ended then is our own doing: no other holds the fence, and nothing is sent before it is told that it was begun. What is not
/// done then either (the window closed meanwhile, say) may stand as begun: it is told as unsure, and its caller takes it back.
/// </remarks>
/// <param name="source">A connection of its own, in which statements are planned once (<see cref="PostgresConnection.OfSteps"/>).</param>
/// <param name="server">Server and database, for messages.</param>
/// <param name="patience">Tries again what passes.</param>
/// <param name="leaseNow">SQL of the clock of leases; it may name <c>@now</c>.</param>
/// <param name="now">Now, by the program's clock [ms since 1970].</param>
internal sealed class PostgresSteps(
    NpgsqlDataSource source,
    string server,
    PostgresPatience patience,
    string leaseNow,
    Func<long> now
)
{
    /// <summary>So many at most share a transaction, so that the first of them need not wait long.</summary>
    private const int Most = 64;

    private const string EndSql = $"""
        UPDATE outbox AS o SET state = 'Sent', settled_at = @now, next_at = @now, owner = NULL, lease_until = NULL,
            last_reply = CASE WHEN o.recipient = '' THEN NULL ELSE e.reply END
        FROM unnest(@ids, @fences, @replies) AS e (id, fence, reply)
        WHERE o.id = e.id AND o.fence = e.fence
            AND ({Outbox.StateOfRow} = 'Sending' OR (@again AND {Outbox.StateOfRow} = 'Sent'))
        RETURNING o.id, o.fence
        """;

    // What is judged of a subscriber is the row that is locked, not the one that the statement saw when it began.
    private readonly string _beginSql = $"""
        WITH present AS MATERIALIZED (
            SELECT id, status FROM subscriber WHERE id = ANY (@subscribers) FOR SHARE SKIP LOCKED)
        UPDATE outbox AS o SET state = 'Sending', lease_until = {leaseNow} + b.lease
        FROM unnest(@ids, @fences, @leases) AS b (id, fence, lease)
        WHERE o.id = b.id AND o.fence = b.fence AND o.lease_until > {leaseNow}
            AND ({Outbox.StateOfRow} = 'Claimed' OR (@again AND {Outbox.StateOfRow} = 'Sending'))
            AND o.not_after >= @now AND {Outbox.NotHeld}
            AND {OutboxPolicy.MayReceive("o.kind", "o.subscriber_id", "present")}
        RETURNING o.id, o.fence
        """;

    private readonly Lock _gate = new();
    private readonly Queue<Step> _waiting = [];
    private bool _working;

    /// <summary>Marks a claimed message as sending; false when it must be asked alone whether it may be sent.</summary>
    /// <param name="claimed">The message.</param>
    /// <param name="lease">How long it may be under way [ms].</param>
    /// <exception cref="StoreException">It could not be written, or nobody knows whether it was.</exception>
    public Task<bool> TryBeginAsync(OutboxMessage claimed, long lease) =>
        TryAsync(new(claimed, lease, null));

    /// <summary>Writes that the relay took a message; false when it must be written alone.</summary>
    /// <param name="sent">The message.</param>
    /// <param name="reply">The relay's answer.</param>
    /// <exception cref="StoreException">It could not be written, or nobody knows whether it was.</exception>
    public Task<bool> TryEndAsync(OutboxMessage sent, string reply) =>
        TryAsync(new(sent, 0, reply));

    private Task<bool> TryAsync(Step step)
    {
        lock (_gate)
        {
            _waiting.Enqueue(step);
            if (!_working)
            {
                _working = true;
                _ = WriteWaitingAsync();
            }
        }

        return step.Done.Task;
    }

    private async Task WriteWaitingAsync()
    {
        while (true)
        {
            // Behind those who were just told, so that what they want next comes along.
            await Task.Yield();
            var group = new List<Step>();
            lock (_gate)
            {
                while (group.Count < Most && _waiting.TryDequeue(out var step))
                {
                    group.Add(step);
                }

                if (group.Count == 0)
                {
                    _working = false;
                    return;
                }
            }

            await WriteAsync(group);
        }
    }

    private async Task WriteAsync(List<Step> group)
    {
        var again = false;
        try
        {
            var done = await patience.RunAsync(
                async () =>
                {
                    await using var connection = await source.OpenConnectionAsync();
                    await using var batch = Batch(connection, group, again);
                    try
                    {
                        return await RunAsync(batch);
                    }
                    catch (Exception e) when (PostgresFaults.LeavesCommitUnknown(e))
                    {
                        again = true;
                        throw;
                    }
                },
                CancellationToken.None
            );
            foreach (var step in group)
            {
                if (done.Contains((step.Message.Id, step.Message.Fence)))
                {
                    step.Done.SetResult(true);
                }
                else if (again)
                {
                    step.Done.SetException(PostgresFaults.Unsure(server, null));
                }
                else
                {
                    step.Done.SetResult(false);
                }
            }
        }
        catch (Exception e) when (again || e is StoreException { Fault: not StoreFault.Busy })
        {
            // The server or its disk, which is the trouble of all of them; or nobody knows what was done.
            var told = e as StoreException ?? PostgresFaults.Unsure(server, e);
            foreach (var step in group)
            {
                step.Done.SetException(told);
            }
        }
        catch (Exception)
        {
            // The trouble of one of them, perhaps: each is done alone, and fails alone.
            foreach (var step in group)
            {
                step.Done.SetResult(false);
            }
        }
    }

    /// <summary>Without a transaction of its own: the commands of a batch are one, and its end comes without another question.</summary>
    private NpgsqlBatch Batch(NpgsqlConnection connection, List<Step> group, bool again)
    {
        var batch = new NpgsqlBatch(connection);
        // Ends first: no more messages are marked as sending than there are connections.
        if (group.FindAll(s => s.Reply is not null) is { Count: > 0 } ends)
        {
            batch.BatchCommands.Add(
                Command(EndSql, ends, again, Many("replies", NpgsqlDbType.Text, ends, s => s.Reply))
            );
        }

        if (group.FindAll(s => s.Reply is null) is { Count: > 0 } begins)
        {
            batch.BatchCommands.Add(
                Command(
                    _beginSql,
                    begins,
                    again,
                    Many("leases", NpgsqlDbType.Bigint, begins, s => s.Lease),
                    Many("subscribers", NpgsqlDbType.Bigint, begins, s => s.Message.SubscriberId)
                )
            );
        }

        return batch;
    }

    private static async Task<HashSet<(long Id, long Fence)>> RunAsync(NpgsqlBatch batch)
    {
        var done = new HashSet<(long Id, long Fence)>();
        await using var rows = await batch.ExecuteReaderAsync();
        do
        {
            while (await rows.ReadAsync())
            {
                done.Add((rows.GetInt64(0), rows.GetInt64(1)));
            }
        } while (await rows.NextResultAsync());

        return done;
    }

    private NpgsqlBatchCommand Command(
        string sql,
        List<Step> steps,
        bool again,
        params ReadOnlySpan<NpgsqlParameter> more
    )
    {
        var command = new NpgsqlBatchCommand(sql)
        {
            Parameters =
            {
                Many("ids", NpgsqlDbType.Bigint, steps, s => s.Message.Id),
                Many("fences", NpgsqlDbType.Bigint, steps, s => s.Message.Fence),
                new NpgsqlParameter<long>("now", now()),
                new NpgsqlParameter<bool>("again", again),
            },
        };
        foreach (var parameter in more)
        {
            command.Parameters.Add(parameter);
        }

        return command;
    }

    private static NpgsqlParameter<T[]> Many<T>(
        string name,
        NpgsqlDbType type,
        List<Step> steps,
        Func<Step, T> of
    ) => new(name, NpgsqlDbType.Array | type) { TypedValue = [.. steps.Select(of)] };

    /// <summary>A begin, or an end when there is a reply.</summary>
    private sealed record Step(OutboxMessage Message, long Lease, string? Reply)
    {
        public TaskCompletionSource<bool> Done { get; } =
            new(TaskCreationOptions.RunContinuationsAsynchronously);
    }
}
