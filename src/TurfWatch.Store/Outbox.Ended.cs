using Dapper;

namespace TurfWatch.Store;

/// <summary>What was done about a worker that has ended.</summary>
/// <param name="Swept">What became of its messages, and of others that there was something to put right about.</param>
/// <param name="Done">Nothing of it is left; otherwise it is to be tried again.</param>
public readonly record struct EndedWorker(OutboxSweep Swept, bool Done);

public sealed partial class Outbox
{
    /// <summary>
    /// Treats the leases of a worker as lapsed, whatever they say: its process is known to have ended (<see cref="WorkerFile"/>), so
    /// nobody begins what it had claimed, and nobody tells the end of what it was sending.
    /// </summary>
    public Task<EndedWorker> SettleEndedAsync(string owner, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                var c = t.Connection!;
                var name = $"'{owner.Replace("'", "''", StringComparison.Ordinal)}'";
                var swept = Sweep(t, int.MaxValue, $"owner = {name}", []);
                c.Execute("DELETE FROM lease WHERE owner = @owner", new { owner }, t);
                // Another worker may be sweeping, or the store be a copy whose rows rest until its release.
                var left = c.ExecuteScalar<bool>(
                    $"SELECT EXISTS (SELECT 1 FROM outbox WHERE {Open} AND owner = @owner)",
                    new { owner },
                    t
                );
                return new EndedWorker(swept, !left);
            },
            cancellation
        );
}
