namespace TurfWatch.Store.Postgres;

/// <summary>Keys of PostgreSQL's advisory locks. They are the database's own; "TURF" in ASCII keeps them apart from other programs'.</summary>
internal static class PostgresLocks
{
    private const long Turf = 0x54555246L << 8;

    /// <summary>Held while the schema is looked at and changed.</summary>
    public const long Schema = Turf + 1;

    /// <summary>Held while the outbox is swept.</summary>
    public const long Sweep = Turf + 2;
}
