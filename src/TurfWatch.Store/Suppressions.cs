using System.Data.Common;
using Dapper;
using NodaTime;

namespace TurfWatch.Store;

/// <summary>Addresses that must not be written to again, known by keyed hash alone.</summary>
public sealed class Suppressions
{
    private readonly IDatabase _database;

    internal Suppressions(IDatabase database) => _database = database;

    public Task AddAsync(
        ReadOnlyMemory<byte> addressHash,
        string reason,
        CancellationToken cancellation
    ) => _database.WriteAsync(t => Add(t, addressHash, reason, _database.Now), cancellation);

    internal static void Add(
        DbTransaction t,
        ReadOnlyMemory<byte> addressHash,
        string reason,
        Instant now
    ) =>
        t.Connection!.Execute(
            "INSERT INTO suppression (address_hash, reason, at) VALUES (@hash, @reason, @now) ON CONFLICT DO NOTHING",
            new
            {
                hash = addressHash.ToArray(),
                reason,
                now = Stored.Ms(now),
            },
            t
        );

    public Task<bool> HoldsAsync(
        ReadOnlyMemory<byte> addressHash,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
                c.ExecuteScalar<long>(
                    "SELECT COUNT(*) FROM suppression WHERE address_hash = @hash",
                    new { hash = addressHash.ToArray() }
                ) > 0,
            cancellation
        );
}
