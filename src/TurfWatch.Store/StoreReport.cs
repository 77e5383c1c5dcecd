using NodaTime;

namespace TurfWatch.Store;

/// <summary>How the store is.</summary>
/// <param name="Where">The database file, or server and database.</param>
/// <param name="SchemaVersion">Number of its last migration.</param>
/// <param name="Bytes">Size of the database.</param>
public abstract record StoreReport(string Where, int SchemaVersion, long Bytes);

/// <summary>How a SQLite file is.</summary>
/// <param name="Where">The file.</param>
/// <param name="SchemaVersion">Number of its last migration.</param>
/// <param name="Bytes">Size of the file.</param>
/// <param name="FreeBytes">Free space of its disk.</param>
/// <param name="Integrity"><c>ok</c>, or what SQLite found wrong.</param>
public sealed record SqliteReport(
    string Where,
    int SchemaVersion,
    long Bytes,
    long FreeBytes,
    string Integrity
) : StoreReport(Where, SchemaVersion, Bytes);

/// <summary>How a PostgreSQL database is.</summary>
/// <param name="Where">Host, port and database.</param>
/// <param name="SchemaVersion">Number of its last migration.</param>
/// <param name="Bytes">Size of the database.</param>
/// <param name="Version">Of the server.</param>
/// <param name="ClockAhead">How far the server's clock is ahead of the program's; negative when it is behind.</param>
/// <param name="Connections">Open connections to the server, of all programs.</param>
/// <param name="MaxConnections">How many it allows.</param>
/// <param name="NotDurable">The server's settings by which a crash can lose what was committed; empty when it is safe.</param>
/// <param name="Encrypted">The connection goes over TLS.</param>
/// <param name="Verified">The settings ask for a certificate of an authority that is trusted.</param>
public sealed record PostgresReport(
    string Where,
    int SchemaVersion,
    long Bytes,
    string Version,
    Duration ClockAhead,
    int Connections,
    int MaxConnections,
    string NotDurable,
    bool Encrypted,
    bool Verified
) : StoreReport(Where, SchemaVersion, Bytes);
