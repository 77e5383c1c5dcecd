using Dapper;

namespace TurfWatch.Store;

/// <summary>
/// Which keys of mailed links the workers of this database hold, by their ids. A worker with keys of its own would make links that
/// the others refuse, and refuse theirs.
/// </summary>
public sealed class LinkKeyIds
{
    private readonly IDatabase _database;

    internal LinkKeyIds(IDatabase database) => _database = database;

    /// <summary>Puts the ids on record; false when there are some on record already and none of these is among them.</summary>
    public Task<bool> JoinAsync(IReadOnlyCollection<string> ids, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                var c = t.Connection!;
                // Of two workers that begin with keys of their own, the second must see the first's.
                c.Execute(_database.Dialect.TakeKeys, transaction: t);
                var known = c.Query<string>("SELECT id FROM link_key", transaction: t).ToList();
                if (known.Count > 0 && !known.Intersect(ids, StringComparer.Ordinal).Any())
                {
                    return false;
                }

                foreach (var id in ids)
                {
                    c.Execute(
                        "INSERT INTO link_key (id, seen_at) VALUES (@id, @now) ON CONFLICT DO NOTHING",
                        new { id, now = Stored.Ms(_database.Now) },
                        t
                    );
                }

                return true;
            },
            cancellation
        );
}
